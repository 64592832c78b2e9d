-- +goose Up

-- A trainee's own operation patterns to begin a case from: nothing of a patient, no date and no note. One of a name; they come and go.
CREATE TABLE case_patterns (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    person_id    {{id}} NOT NULL REFERENCES people (id),
    name         text NOT NULL CHECK (length(name) BETWEEN 1 AND 60),
    record       {{json}} NOT NULL CHECK ({{object "record"}}),
    created_at   {{time}} NOT NULL,
    UNIQUE (programme_id, person_id, name)
);

-- What a programme set after it began, version by version; the highest holds. Version 0 is the row of programmes.
CREATE TABLE settings_versions (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    version      integer NOT NULL CHECK (version >= 1),
    settings     {{json}} NOT NULL CHECK ({{object "settings"}}),
    reason       text NOT NULL,
    created_by   {{id}} NOT NULL REFERENCES people (id),
    created_at   {{time}} NOT NULL,
    PRIMARY KEY (programme_id, version)
);
{{appendOnly "settings_versions"}}

-- Cases of several trainees on one operation. A case is in one group at most.
CREATE TABLE case_groups (
    programme_id {{id}} NOT NULL,
    case_id      {{id}} NOT NULL,
    group_id     {{id}} NOT NULL CHECK (length(group_id) BETWEEN 1 AND 64),
    joined_by    {{id}} NOT NULL REFERENCES people (id),
    joined_at    {{time}} NOT NULL,
    PRIMARY KEY (programme_id, case_id),
    FOREIGN KEY (programme_id, case_id) REFERENCES cases (programme_id, id)
);
CREATE INDEX case_groups_group ON case_groups (programme_id, group_id);
CREATE INDEX cases_operated ON cases (programme_id, operated_on);

-- +goose Down
DROP INDEX cases_operated;
DROP TABLE case_groups;
DROP TABLE settings_versions;
DROP TABLE case_patterns;
{{dropGuards "settings_versions"}}
