-- +goose Up

-- When a person wants to be told by mail what waits for them, and how far the mail is. A process that works on a row holds its lease, so that
-- several processes never send one mail twice. slot is the day whose mail is being tried, and tries how often; the mail itself is written anew
-- at each try and never kept. token is the way to turn it off from the mail: it can do nothing else.
CREATE TABLE digests (
    person_id   {{id}} NOT NULL PRIMARY KEY REFERENCES people (id),
    choices     {{json}} NOT NULL CHECK ({{object "choices"}}),
    token       {{id}} NOT NULL UNIQUE CHECK (length(token) >= 32),
    last_slot   {{id}} NOT NULL,
    next_at     {{time}},
    slot        {{id}} NOT NULL,
    tries       integer NOT NULL CHECK (tries >= 0),
    message     text NOT NULL,
    lease       {{id}} NOT NULL,
    lease_until {{time}}
);
CREATE INDEX digests_next ON digests (next_at);

-- +goose Down
DROP TABLE digests;
