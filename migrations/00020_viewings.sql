-- +goose Up

-- What an external reviewer is let see, and until when. The newest row of a reviewer holds alone; a reviewer without a row sees nothing.
CREATE TABLE viewings (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    person_id    {{id}} NOT NULL REFERENCES people (id),
    choice       {{json}} NOT NULL CHECK ({{object "choice"}}),
    until_day    {{id}} NOT NULL CHECK (length(until_day) = 10),
    created_by   {{id}} NOT NULL REFERENCES people (id),
    created_at   {{time}} NOT NULL
);
CREATE INDEX viewings_person ON viewings (programme_id, person_id, created_at, id);
{{appendOnly "viewings"}}

-- +goose Down
DROP TABLE viewings;
{{dropGuards "viewings"}}
