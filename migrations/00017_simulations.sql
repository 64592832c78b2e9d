-- +goose Up

-- A standard tried on made-up trainees: a job that any process may take up while nobody holds its lease. plan is all that the result
-- depends on, the standards as they were and the seed included, so that it can be had again.
CREATE TABLE simulations (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    request_id   {{id}} NOT NULL,
    title        text NOT NULL,
    plan         {{json}} NOT NULL CHECK ({{object "plan"}}),
    state        {{id}} NOT NULL CHECK (state IN ('waiting', 'done', 'failed', 'cancelled')),
    total        integer NOT NULL CHECK (total >= 1),
    ready        integer NOT NULL CHECK (ready BETWEEN 0 AND total),
    result       {{json}},
    message      text NOT NULL,
    lease        {{id}} NOT NULL,
    lease_until  {{time}},
    tries        integer NOT NULL CHECK (tries >= 0),
    created_at   {{time}} NOT NULL,
    closed_at    {{time}},
    revision     integer NOT NULL CHECK (revision >= 1),
    UNIQUE (programme_id, id),
    CHECK ((state = 'done') = (result IS NOT NULL)),
    CHECK ((state = 'waiting') = (closed_at IS NULL))
);
CREATE INDEX simulations_newest ON simulations (programme_id, created_at, id);
CREATE INDEX simulations_waiting ON simulations (state, created_at);

-- +goose Down
DROP TABLE simulations;
