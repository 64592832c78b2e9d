-- +goose Up

-- Whether a programme hands its statements to the learning record store of this installation: the highest number holds; without a row it does
-- not. Nothing of it is changed.
CREATE TABLE statement_choices (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    number       integer NOT NULL CHECK (number >= 1),
    deliver      boolean NOT NULL,
    chosen_by    {{id}} NOT NULL REFERENCES people (id),
    chosen_at    {{time}} NOT NULL,
    PRIMARY KEY (programme_id, number)
);
{{appendOnly "statement_choices"}}

-- A statement as it is handed over, written once from a record that never changes: kind and record_id name that. It is never written anew, so that
-- the store always sees the same one under its id.
CREATE TABLE statements (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    id           {{id}} NOT NULL UNIQUE CHECK (length(id) = 36),
    kind         {{id}} NOT NULL,
    record_id    {{id}} NOT NULL,
    statement    {{json}} NOT NULL CHECK ({{object "statement"}}),
    happened_at  {{time}} NOT NULL,
    written_at   {{time}} NOT NULL,
    PRIMARY KEY (programme_id, id),
    UNIQUE (programme_id, kind, record_id)
);
{{appendOnly "statements"}}

-- How far the delivery of each statement is. It waits until the store has it, however often it must be tried; a process that tries holds its
-- lease. What is sent never changes again.
CREATE TABLE statement_deliveries (
    programme_id {{id}} NOT NULL,
    statement_id {{id}} NOT NULL,
    state        {{id}} NOT NULL CHECK (state IN ('waiting', 'sent')),
    next_at      {{time}} NOT NULL,
    tries        integer NOT NULL CHECK (tries >= 0),
    message      text NOT NULL,
    lease        {{id}} NOT NULL,
    lease_until  {{time}},
    sent_at      {{time}},
    PRIMARY KEY (programme_id, statement_id),
    FOREIGN KEY (programme_id, statement_id) REFERENCES statements (programme_id, id),
    CHECK ((state = 'sent') = (sent_at IS NOT NULL))
);
CREATE INDEX statement_deliveries_next ON statement_deliveries (state, next_at);
{{closes "statement_deliveries" "state" "waiting"}}

-- +goose Down
DROP TABLE statement_deliveries;
DROP TABLE statements;
DROP TABLE statement_choices;
{{dropGuards "statement_choices"}}
{{dropGuards "statements"}}
{{dropGuards "statement_deliveries"}}
