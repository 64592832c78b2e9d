-- +goose Up

-- Somebody asked to join a programme. Of the link only the hash of its token is kept; it works once, until expires_at. terms holds the
-- roles it gives with their periods. One address has one open invitation in a programme; what is closed never changes.
CREATE TABLE invitations (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    email        {{id}} NOT NULL CHECK (email = lower(email) AND length(email) BETWEEN 3 AND 254),
    name         text NOT NULL CHECK (length(name) <= 200),
    terms        {{json}} NOT NULL CHECK ({{object "terms"}}),
    token_hash   {{id}} NOT NULL UNIQUE CHECK (length(token_hash) BETWEEN 1 AND 128),
    status       {{id}} NOT NULL CHECK (status IN ('open', 'accepted', 'withdrawn')),
    created_by   {{id}} NOT NULL REFERENCES people (id),
    created_at   {{time}} NOT NULL,
    expires_at   {{time}} NOT NULL,
    closed_at    {{time}},
    accepted_by  {{id}} REFERENCES people (id),
    CHECK ((status = 'open') = (closed_at IS NULL)),
    CHECK ((status = 'accepted') = (accepted_by IS NOT NULL))
);
CREATE INDEX invitations_programme ON invitations (programme_id, created_at, id);
CREATE UNIQUE INDEX invitations_open ON invitations (programme_id, email) WHERE status = 'open';
{{closes "invitations" "status" "open"}}

-- Where a member works for a stretch of days, both included; an empty until_day means until further notice.
CREATE TABLE rotations (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    person_id    {{id}} NOT NULL REFERENCES people (id),
    site         text NOT NULL CHECK (length(site) BETWEEN 1 AND 200),
    from_day     {{id}} NOT NULL CHECK (length(from_day) = 10),
    until_day    {{id}} NOT NULL CHECK (until_day = '' OR (length(until_day) = 10 AND until_day >= from_day)),
    created_by   {{id}} NOT NULL REFERENCES people (id),
    created_at   {{time}} NOT NULL
);
CREATE INDEX rotations_person ON rotations (programme_id, person_id, from_day);

-- A member who may no longer act in the programme, whatever roles are left; all they did stays. Lifting it ends the row.
CREATE TABLE deactivations (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    person_id    {{id}} NOT NULL REFERENCES people (id),
    status       {{id}} NOT NULL CHECK (status IN ('in-force', 'lifted')),
    created_by   {{id}} REFERENCES people (id),
    created_at   {{time}} NOT NULL,
    lifted_at    {{time}},
    CHECK ((status = 'in-force') = (lifted_at IS NULL))
);
CREATE UNIQUE INDEX deactivations_in_force ON deactivations (programme_id, person_id) WHERE status = 'in-force';
CREATE INDEX deactivations_person ON deactivations (person_id);
{{closes "deactivations" "status" "in-force"}}

-- +goose Down
DROP TABLE deactivations;
DROP TABLE rotations;
DROP TABLE invitations;
{{dropGuards "deactivations"}}
{{dropGuards "invitations"}}
