-- +goose Up

-- Every write leaves an entry in the same transaction. Entries form one chain for each programme (and one for the platform, whose
-- programme_id is empty): prev_hash is the hash of the entry before, hash covers all other columns.
CREATE TABLE audit_entries (
    programme_id {{id}} NOT NULL,
    seq          bigint NOT NULL CHECK (seq >= 1),
    at           {{time}} NOT NULL,
    actor_id     {{id}} NOT NULL,
    act          {{id}} NOT NULL CHECK (length(act) BETWEEN 1 AND 100),
    object       {{id}} NOT NULL,
    object_id    {{id}} NOT NULL,
    before_hash  {{id}} NOT NULL,
    after_hash   {{id}} NOT NULL,
    request_id   {{id}} NOT NULL,
    prev_hash    {{id}} NOT NULL,
    hash         {{id}} NOT NULL,
    PRIMARY KEY (programme_id, seq)
);
{{appendOnly "audit_entries"}}

-- The head of each chain: without it a removed tail would leave no trace. Its sequence number only rises.
CREATE TABLE audit_heads (
    programme_id {{id}} NOT NULL PRIMARY KEY,
    seq          bigint NOT NULL CHECK (seq >= 0),
    hash         {{id}} NOT NULL
);
{{onlyRises "audit_heads" "seq"}}

-- +goose Down
DROP TABLE audit_heads;
DROP TABLE audit_entries;
{{dropGuards "audit_entries"}}
{{dropGuards "audit_heads"}}
