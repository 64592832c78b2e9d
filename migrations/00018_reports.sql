-- +goose Up

-- A report to take away: a job that any process may take up while nobody holds its lease. The file is kept for some days; what its
-- verification code stands for is kept for good.
CREATE TABLE reports (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    request_id   {{id}} NOT NULL,
    kind         {{id}} NOT NULL CHECK (kind IN ('portfolio', 'pack', 'workbook', 'tables')),
    trainee_id   {{id}} REFERENCES people (id),
    as_of        {{id}} NOT NULL,
    outside      boolean NOT NULL,
    state        {{id}} NOT NULL CHECK (state IN ('waiting', 'done', 'failed')),
    total        integer NOT NULL CHECK (total >= 1),
    ready        integer NOT NULL CHECK (ready BETWEEN 0 AND total),
    standard     text NOT NULL,
    code         {{id}} NOT NULL,
    content_hash {{id}} NOT NULL,
    file_hash    {{id}} NOT NULL,
    file_name    text NOT NULL,
    file         {{bytes}},
    message      text NOT NULL,
    lease        {{id}} NOT NULL,
    lease_until  {{time}},
    tries        integer NOT NULL CHECK (tries >= 0),
    created_at   {{time}} NOT NULL,
    closed_at    {{time}},
    revision     integer NOT NULL CHECK (revision >= 1),
    UNIQUE (programme_id, id),
    CHECK ((kind = 'portfolio') = (trainee_id IS NOT NULL)),
    CHECK ((state = 'done') = (code <> '')),
    CHECK (file IS NULL OR state = 'done'),
    CHECK ((state = 'waiting') = (closed_at IS NULL))
);
CREATE INDEX reports_newest ON reports (programme_id, by_id, created_at, id);
CREATE INDEX reports_waiting ON reports (state, created_at);
CREATE INDEX reports_code ON reports (code);

-- +goose Down
DROP TABLE reports;
