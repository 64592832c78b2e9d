-- +goose Up

-- What became of the rhythm after an operation. A follow-up is never changed: an amendment is its next version, with the reason. month
-- repeats the content for lists; freedom, freedom_reason and rule_version are what the programme's rule made of it when it was recorded.
CREATE TABLE follow_ups (
    programme_id   {{id}} NOT NULL,
    id             {{id}} NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    version        integer NOT NULL CHECK (version >= 1),
    case_id        {{id}} NOT NULL,
    month          integer NOT NULL CHECK (month >= 1),
    content        {{json}} NOT NULL CHECK ({{object "content"}}),
    freedom        {{id}} NOT NULL,
    freedom_reason text NOT NULL,
    rule_version   integer NOT NULL CHECK (rule_version >= 1),
    reason         text NOT NULL,
    by_id          {{id}} NOT NULL REFERENCES people (id),
    at             {{time}} NOT NULL,
    PRIMARY KEY (programme_id, id, version),
    FOREIGN KEY (programme_id, case_id) REFERENCES cases (programme_id, id),
    CHECK ((version = 1) = (reason = ''))
);
CREATE INDEX follow_ups_case ON follow_ups (programme_id, case_id, id, version);
{{appendOnly "follow_ups"}}

-- By which a person finds a case again: a keyed hash of the local record number, made in the browser with a key that never leaves it. It
-- is an index, no record: a person has one for a case, and replaces it when the number was mistyped.
CREATE TABLE case_keys (
    programme_id {{id}} NOT NULL,
    case_id      {{id}} NOT NULL,
    by_id        {{id}} NOT NULL REFERENCES people (id),
    case_key     {{id}} NOT NULL CHECK (length(case_key) = 64),
    at           {{time}} NOT NULL,
    PRIMARY KEY (programme_id, case_id, by_id),
    FOREIGN KEY (programme_id, case_id) REFERENCES cases (programme_id, id)
);
CREATE INDEX case_keys_key ON case_keys (programme_id, case_key);

-- +goose Down
DROP TABLE case_keys;
DROP TABLE follow_ups;
{{dropGuards "follow_ups"}}
