-- +goose Up

-- Only hashes of session and bearer tokens are kept: who reads this table cannot sign in.
CREATE TABLE sessions (
    token_hash {{id}} NOT NULL PRIMARY KEY CHECK (length(token_hash) BETWEEN 1 AND 128),
    data       {{bytes}} NOT NULL,
    expires_at {{time}} NOT NULL
);
CREATE INDEX sessions_expiry ON sessions (expires_at);

CREATE TABLE tokens (
    id         {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    person_id  {{id}} NOT NULL REFERENCES people (id),
    name       text NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    hash       {{id}} NOT NULL UNIQUE,
    created_at {{time}} NOT NULL,
    expires_at {{time}} NOT NULL,
    revoked_at {{time}}
);
CREATE INDEX tokens_person ON tokens (person_id, created_at, id);

-- Failed sign-ins by whatever the throttle counts by.
CREATE TABLE sign_in_failures (
    id     {{serial}},
    target {{id}} NOT NULL CHECK (length(target) BETWEEN 1 AND 300),
    at     {{time}} NOT NULL
);
CREATE INDEX sign_in_failures_target ON sign_in_failures (target, at);
CREATE INDEX sign_in_failures_at ON sign_in_failures (at);

-- A create that is sent again under its key gives the object it made the first time.
CREATE TABLE idempotency_keys (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    person_id    {{id}} NOT NULL REFERENCES people (id),
    request_key  {{id}} NOT NULL CHECK (length(request_key) BETWEEN 1 AND 200),
    operation    {{id}} NOT NULL,
    request_hash {{id}} NOT NULL,
    object_id    {{id}} NOT NULL,
    created_at   {{time}} NOT NULL,
    PRIMARY KEY (programme_id, person_id, request_key)
);

-- +goose Down
DROP TABLE idempotency_keys;
DROP TABLE sign_in_failures;
DROP TABLE tokens;
DROP TABLE sessions;
