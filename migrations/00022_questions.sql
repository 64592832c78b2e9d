-- +goose Up

-- A question in a programme's bank: the edition that is worked on or was last. A starter question nobody touched has no row. authors is a
-- list of people's ids. live_version is 0 while it is not asked.
CREATE TABLE question_editions (
    programme_id   {{id}} NOT NULL REFERENCES programmes (id),
    item           {{id}} NOT NULL CHECK (length(item) BETWEEN 1 AND 80),
    version        integer NOT NULL CHECK (version >= 1),
    status         {{id}} NOT NULL CHECK (status IN ('draft', 'in-review', 'live', 'retired')),
    live_version   integer NOT NULL CHECK (live_version BETWEEN 0 AND version),
    latest_version integer NOT NULL CHECK (latest_version BETWEEN live_version AND version),
    authors        text NOT NULL,
    reviewer_id    {{id}} REFERENCES people (id),
    body           {{json}} NOT NULL CHECK ({{object "body"}}),
    created_at     {{time}} NOT NULL,
    updated_at     {{time}} NOT NULL,
    revision       integer NOT NULL CHECK (revision >= 1),
    PRIMARY KEY (programme_id, item)
);

-- Every version that went live in the programme, and the starter's that one of them took the place of. approved_by is null for the latter.
CREATE TABLE question_versions (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    item         {{id}} NOT NULL CHECK (length(item) BETWEEN 1 AND 80),
    version      integer NOT NULL CHECK (version >= 1),
    body         {{json}} NOT NULL CHECK ({{object "body"}}),
    author_id    {{id}} REFERENCES people (id),
    approved_by  {{id}} REFERENCES people (id),
    kept_at      {{time}} NOT NULL,
    PRIMARY KEY (programme_id, item, version)
);
{{appendOnly "question_versions"}}

-- What was done to a question: by whom, when, why.
CREATE TABLE question_acts (
    programme_id {{id}} NOT NULL,
    item         {{id}} NOT NULL,
    seq          integer NOT NULL CHECK (seq >= 1),
    kind         {{id}} NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    at           {{time}} NOT NULL,
    reason       text NOT NULL,
    version      integer NOT NULL CHECK (version >= 1),
    PRIMARY KEY (programme_id, item, seq),
    FOREIGN KEY (programme_id, item) REFERENCES question_editions (programme_id, item)
);
{{appendOnly "question_acts"}}

-- +goose Down
DROP TABLE question_acts;
DROP TABLE question_versions;
DROP TABLE question_editions;
{{dropGuards "question_acts"}}
{{dropGuards "question_versions"}}
