-- +goose Up

-- An import of a file of cases: a job that any process may take up while nobody holds its lease. entries are the cases as they were
-- read and checked, until they are saved or given up; the file itself is never kept, only its hash. own says that every case is that of
-- the person who imports; submit, that the cases come in as submitted and not as drafts.
CREATE TABLE imports (
    id           {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    request_id   {{id}} NOT NULL,
    own          boolean NOT NULL,
    submit       boolean NOT NULL,
    file_hash    {{id}} NOT NULL CHECK (length(file_hash) = 64),
    mapping      {{json}} NOT NULL CHECK ({{object "mapping"}}),
    state        {{id}} NOT NULL CHECK (state IN ('waiting', 'done', 'failed', 'undone')),
    total        integer NOT NULL CHECK (total >= 1),
    ready        integer NOT NULL CHECK (ready BETWEEN 0 AND total),
    entries      {{json}},
    message      text NOT NULL,
    lease        {{id}} NOT NULL,
    lease_until  {{time}},
    tries        integer NOT NULL CHECK (tries >= 0),
    created_at   {{time}} NOT NULL,
    closed_at    {{time}},
    revision     integer NOT NULL CHECK (revision >= 1),
    UNIQUE (programme_id, id),
    CHECK ((state = 'waiting') = (entries IS NOT NULL)),
    CHECK ((state = 'waiting') = (closed_at IS NULL))
);
CREATE INDEX imports_newest ON imports (programme_id, created_at, id);
CREATE INDEX imports_waiting ON imports (state, created_at);
-- One person imports one file once, until that is undone.
CREATE UNIQUE INDEX imports_file ON imports (programme_id, by_id, file_hash) WHERE state IN ('waiting', 'done');

-- Which case came from which row of which import.
CREATE TABLE import_cases (
    programme_id {{id}} NOT NULL,
    case_id      {{id}} NOT NULL,
    import_id    {{id}} NOT NULL,
    line         integer NOT NULL CHECK (line >= 1),
    PRIMARY KEY (programme_id, case_id),
    FOREIGN KEY (programme_id, case_id) REFERENCES cases (programme_id, id),
    FOREIGN KEY (programme_id, import_id) REFERENCES imports (programme_id, id)
);
CREATE INDEX import_cases_import ON import_cases (programme_id, import_id, line);
{{appendOnly "import_cases"}}

-- How a programme reads files with the same column names: the mapping last used.
CREATE TABLE import_mappings (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    header_hash  {{id}} NOT NULL CHECK (length(header_hash) = 64),
    mapping      {{json}} NOT NULL CHECK ({{object "mapping"}}),
    saved_by     {{id}} NOT NULL REFERENCES people (id),
    saved_at     {{time}} NOT NULL,
    PRIMARY KEY (programme_id, header_hash)
);

-- +goose Down
DROP TABLE import_mappings;
DROP TABLE import_cases;
DROP TABLE imports;
{{dropGuards "import_cases"}}
