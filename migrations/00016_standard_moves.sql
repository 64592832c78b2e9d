-- +goose Up

-- A director's word that a trainee is judged by another version of the standard than the one they joined under, from a day on. The latest day
-- no later than the day asked about decides, of several on one day the highest number. Nothing of it is changed: another move corrects one.
CREATE TABLE standard_moves (
    programme_id {{id}} NOT NULL,
    trainee_id   {{id}} NOT NULL REFERENCES people (id),
    number       integer NOT NULL CHECK (number >= 1),
    version      integer NOT NULL,
    from_day     {{id}} NOT NULL CHECK (length(from_day) = 10),
    reason       text NOT NULL,
    moved_by     {{id}} NOT NULL REFERENCES people (id),
    moved_at     {{time}} NOT NULL,
    PRIMARY KEY (programme_id, trainee_id, number),
    FOREIGN KEY (programme_id, version) REFERENCES standards (programme_id, version)
);
{{appendOnly "standard_moves"}}

-- +goose Down
DROP TABLE standard_moves;
{{dropGuards "standard_moves"}}
