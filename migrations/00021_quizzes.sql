-- +goose Up

-- A trainee's attempt at a set of questions. paper is the items as they were asked, in their order: a later bank changes nothing. With the
-- seed it gives the form; so do blueprint, bank_version and seed. replies has a row for each item; outcomes its mark, once it is closed.
CREATE TABLE quiz_attempts (
    id             {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id   {{id}} NOT NULL REFERENCES programmes (id),
    trainee_id     {{id}} NOT NULL REFERENCES people (id),
    mode           {{id}} NOT NULL CHECK (mode IN ('practice', 'test', 'daily')),
    blueprint      {{json}} NOT NULL CHECK ({{object "blueprint"}}),
    bank_version   {{id}} NOT NULL,
    seed           bigint NOT NULL,
    paper          {{json}} NOT NULL,
    replies        {{json}} NOT NULL,
    outcomes       {{json}},
    status         {{id}} NOT NULL CHECK (status IN ('open', 'submitted', 'ended')),
    started_at     {{time}} NOT NULL,
    due_at         {{time}} NOT NULL,
    saved_at       {{time}},
    submitted_at   {{time}},
    score          {{real}},
    max            integer NOT NULL CHECK (max >= 1),
    standard_error {{real}},
    cut            {{real}} NOT NULL CHECK (cut BETWEEN 0 AND 100),
    revision       integer NOT NULL CHECK (revision >= 1),
    CHECK ((status = 'open') = (submitted_at IS NULL)),
    CHECK ((status = 'open') = (outcomes IS NULL)),
    CHECK ((status = 'open') = (score IS NULL))
);
CREATE INDEX quiz_attempts_newest ON quiz_attempts (programme_id, started_at, id);
CREATE UNIQUE INDEX quiz_attempts_open ON quiz_attempts (programme_id, trainee_id, mode) WHERE status = 'open';
CREATE INDEX quiz_attempts_of ON quiz_attempts (programme_id, trainee_id, started_at);
{{closes "quiz_attempts" "status" "open"}}

-- +goose Down
DROP TABLE quiz_attempts;
{{dropGuards "quiz_attempts"}}
