-- +goose Up

-- A programme's own test of questions: the edition that is worked on or was last. authors is a list of people's ids. live_version is 0
-- while it is not offered.
CREATE TABLE tests (
    programme_id   {{id}} NOT NULL REFERENCES programmes (id),
    id             {{id}} NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    version        integer NOT NULL CHECK (version >= 1),
    status         {{id}} NOT NULL CHECK (status IN ('draft', 'live', 'retired')),
    live_version   integer NOT NULL CHECK (live_version BETWEEN 0 AND version),
    latest_version integer NOT NULL CHECK (latest_version BETWEEN live_version AND version),
    authors        text NOT NULL,
    retired_for    text NOT NULL,
    body           {{json}} NOT NULL CHECK ({{object "body"}}),
    created_at     {{time}} NOT NULL,
    updated_at     {{time}} NOT NULL,
    revision       integer NOT NULL CHECK (revision >= 1),
    PRIMARY KEY (programme_id, id)
);

-- Every version that went live.
CREATE TABLE test_versions (
    programme_id {{id}} NOT NULL,
    test         {{id}} NOT NULL,
    version      integer NOT NULL CHECK (version >= 1),
    body         {{json}} NOT NULL CHECK ({{object "body"}}),
    published_by {{id}} NOT NULL REFERENCES people (id),
    published_at {{time}} NOT NULL,
    PRIMARY KEY (programme_id, test, version),
    FOREIGN KEY (programme_id, test) REFERENCES tests (programme_id, id)
);
{{appendOnly "test_versions"}}

-- A panel of judges for one version of a test. paper is the questions as they are rated, body the panel with its closed rounds and result.
CREATE TABLE panels (
    programme_id {{id}} NOT NULL,
    id           {{id}} NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    test         {{id}} NOT NULL,
    version      integer NOT NULL,
    status       {{id}} NOT NULL CHECK (status IN ('open', 'closed', 'withdrawn')),
    body         {{json}} NOT NULL CHECK ({{object "body"}}),
    paper        {{json}} NOT NULL,
    created_by   {{id}} NOT NULL REFERENCES people (id),
    created_at   {{time}} NOT NULL,
    revision     integer NOT NULL CHECK (revision >= 1),
    PRIMARY KEY (programme_id, id),
    FOREIGN KEY (programme_id, test, version) REFERENCES test_versions (programme_id, test, version)
);
CREATE INDEX panels_of ON panels (programme_id, test, created_at);
{{closes "panels" "status" "open"}}

-- What one judge says in one round. It is closed with the round.
CREATE TABLE panel_sheets (
    programme_id {{id}} NOT NULL,
    panel        {{id}} NOT NULL,
    round        integer NOT NULL CHECK (round IN (1, 2)),
    judge        {{id}} NOT NULL REFERENCES people (id),
    status       {{id}} NOT NULL CHECK (status IN ('open', 'closed')),
    body         {{json}} NOT NULL CHECK ({{object "body"}}),
    saved_at     {{time}} NOT NULL,
    PRIMARY KEY (programme_id, panel, round, judge),
    FOREIGN KEY (programme_id, panel) REFERENCES panels (programme_id, id)
);
{{closes "panel_sheets" "status" "open"}}

-- The passing marks adopted for a version of a test, each from then on.
CREATE TABLE test_cuts (
    programme_id {{id}} NOT NULL,
    test         {{id}} NOT NULL,
    version      integer NOT NULL,
    seq          integer NOT NULL CHECK (seq >= 1),
    panel        {{id}} NOT NULL,
    body         {{json}} NOT NULL CHECK ({{object "body"}}),
    reason       text NOT NULL,
    adopted_by   {{id}} NOT NULL REFERENCES people (id),
    adopted_at   {{time}} NOT NULL,
    PRIMARY KEY (programme_id, test, version, seq),
    FOREIGN KEY (programme_id, panel) REFERENCES panels (programme_id, id)
);
{{appendOnly "test_cuts"}}

-- Which of the programme's own tests an attempt is at, if any, and under what terms: how it is marked, where its cut comes from.
ALTER TABLE quiz_attempts ADD COLUMN test_id {{id}};
ALTER TABLE quiz_attempts ADD COLUMN terms {{json}};
CREATE INDEX quiz_attempts_test ON quiz_attempts (programme_id, test_id);

-- +goose Down
DROP INDEX quiz_attempts_test;
ALTER TABLE quiz_attempts DROP COLUMN terms;
ALTER TABLE quiz_attempts DROP COLUMN test_id;
DROP TABLE test_cuts;
DROP TABLE panel_sheets;
DROP TABLE panels;
DROP TABLE test_versions;
DROP TABLE tests;
{{dropGuards "test_cuts"}}
{{dropGuards "panel_sheets"}}
{{dropGuards "panels"}}
{{dropGuards "test_versions"}}
