-- +goose Up

-- A scenario in a programme's library: the edition that is worked on or was last. A starter scenario nobody touched has no row.
-- authors is a list of people's ids. title, pattern and operation repeat what lists need of the body; pattern is empty while the history
-- contradicts itself. live_version is 0 while nothing can be answered.
CREATE TABLE editions (
    programme_id   {{id}} NOT NULL REFERENCES programmes (id),
    scenario       {{id}} NOT NULL CHECK (length(scenario) BETWEEN 1 AND 100),
    version        integer NOT NULL CHECK (version >= 1),
    status         {{id}} NOT NULL CHECK (status IN ('draft', 'in-review', 'live', 'retired')),
    live_version   integer NOT NULL CHECK (live_version BETWEEN 0 AND version),
    latest_version integer NOT NULL CHECK (latest_version BETWEEN live_version AND version),
    authors        text NOT NULL,
    reviewer_id    {{id}} REFERENCES people (id),
    title          text NOT NULL,
    pattern        {{id}} NOT NULL,
    operation      {{id}} NOT NULL,
    body           {{json}} NOT NULL CHECK ({{object "body"}}),
    created_at     {{time}} NOT NULL,
    updated_at     {{time}} NOT NULL,
    revision       integer NOT NULL CHECK (revision >= 1),
    PRIMARY KEY (programme_id, scenario)
);

-- Every version that went live or was answered, starter scenarios included: an attempt keeps the scenario it answered. approved_by is
-- null for a starter scenario.
CREATE TABLE scenario_versions (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    scenario     {{id}} NOT NULL CHECK (length(scenario) BETWEEN 1 AND 100),
    version      integer NOT NULL CHECK (version >= 1),
    title        text NOT NULL,
    pattern      {{id}} NOT NULL,
    operation    {{id}} NOT NULL,
    body         {{json}} NOT NULL CHECK ({{object "body"}}),
    author_id    {{id}} REFERENCES people (id),
    approved_by  {{id}} REFERENCES people (id),
    kept_at      {{time}} NOT NULL,
    PRIMARY KEY (programme_id, scenario, version)
);
{{appendOnly "scenario_versions"}}

-- What was done to an edition: by whom, when, why.
CREATE TABLE edition_acts (
    programme_id {{id}} NOT NULL,
    scenario     {{id}} NOT NULL,
    seq          integer NOT NULL CHECK (seq >= 1),
    kind         {{id}} NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    at           {{time}} NOT NULL,
    reason       text NOT NULL,
    version      integer NOT NULL CHECK (version >= 1),
    PRIMARY KEY (programme_id, scenario, seq),
    FOREIGN KEY (programme_id, scenario) REFERENCES editions (programme_id, scenario)
);
{{appendOnly "edition_acts"}}

-- +goose Down
DROP TABLE edition_acts;
DROP TABLE scenario_versions;
DROP TABLE editions;
{{dropGuards "edition_acts"}}
{{dropGuards "scenario_versions"}}
