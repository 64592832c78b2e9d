-- +goose Up

-- A programme is a wall: every row of its data carries its id, and nothing refers across.
CREATE TABLE programmes (
    id         {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    name       text NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    settings   {{json}} NOT NULL CHECK ({{object "settings"}}),
    created_at {{time}} NOT NULL
);

-- epoch rises with every change of the password and ends the sessions that were opened before.
CREATE TABLE people (
    id            {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    email         {{id}} NOT NULL UNIQUE CHECK (email = lower(email) AND length(email) BETWEEN 3 AND 254),
    name          text NOT NULL CHECK (length(name) BETWEEN 1 AND 200),
    password_hash text NOT NULL,
    epoch         integer NOT NULL CHECK (epoch >= 1),
    created_at    {{time}} NOT NULL
);

-- A role in a programme for a stretch of days, both included; an empty until_day means until further notice.
CREATE TABLE memberships (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    person_id    {{id}} NOT NULL REFERENCES people (id),
    role         {{id}} NOT NULL CHECK (role IN ('trainee', 'faculty', 'director', 'coordinator', 'committee', 'reviewer', 'operator')),
    from_day     {{id}} NOT NULL CHECK (length(from_day) = 10),
    until_day    {{id}} NOT NULL CHECK (until_day = '' OR (length(until_day) = 10 AND until_day >= from_day)),
    PRIMARY KEY (programme_id, person_id, role, from_day)
);
CREATE INDEX memberships_person ON memberships (person_id);

-- +goose Down
DROP TABLE memberships;
DROP TABLE people;
DROP TABLE programmes;
