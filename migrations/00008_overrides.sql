-- +goose Up

-- Words that the privacy screen stopped and that somebody kept, with the reason. The words themselves are not in it: they stand in the
-- place that object, object_id and field name, and are gone when they are taken out there.
CREATE TABLE identifier_overrides (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    object       {{id}} NOT NULL CHECK (length(object) BETWEEN 1 AND 40),
    object_id    {{id}} NOT NULL CHECK (length(object_id) BETWEEN 1 AND 100),
    field        {{id}} NOT NULL CHECK (length(field) BETWEEN 1 AND 100),
    kind         {{id}} NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
    reason       text NOT NULL CHECK (length(reason) > 0),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    at           {{time}} NOT NULL,
    UNIQUE (programme_id, id)
);
CREATE INDEX identifier_overrides_newest ON identifier_overrides (programme_id, at, id);
CREATE INDEX identifier_overrides_place ON identifier_overrides (programme_id, object, object_id, field);
{{appendOnly "identifier_overrides"}}

-- Who looked at an override, and when: once for each.
CREATE TABLE identifier_reviews (
    programme_id {{id}} NOT NULL,
    override_id  {{id}} NOT NULL,
    by_id        {{id}} NOT NULL REFERENCES people (id),
    at           {{time}} NOT NULL,
    PRIMARY KEY (programme_id, override_id),
    FOREIGN KEY (programme_id, override_id) REFERENCES identifier_overrides (programme_id, id)
);
{{appendOnly "identifier_reviews"}}

-- +goose Down
DROP TABLE identifier_reviews;
DROP TABLE identifier_overrides;
{{dropGuards "identifier_reviews"}}
{{dropGuards "identifier_overrides"}}
