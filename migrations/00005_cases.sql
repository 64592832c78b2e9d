-- +goose Up

-- A case as it stands. supervisor_id repeats the record's supervisor for lists; it is null while none is named.
CREATE TABLE cases (
    id            {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id  {{id}} NOT NULL REFERENCES programmes (id),
    trainee_id    {{id}} NOT NULL REFERENCES people (id),
    supervisor_id {{id}} REFERENCES people (id),
    version       integer NOT NULL CHECK (version >= 0),
    status        {{id}} NOT NULL CHECK (status IN ('draft', 'submitted', 'returned', 'signed-off', 'withdrawn')),
    operated_on   {{id}} NOT NULL,
    record        {{json}} NOT NULL CHECK ({{object "record"}}),
    computed      {{json}},
    content_hash  {{id}} NOT NULL,
    submitted_at  {{time}},
    created_at    {{time}} NOT NULL,
    updated_at    {{time}} NOT NULL,
    revision      integer NOT NULL CHECK (revision >= 1),
    UNIQUE (programme_id, id)
);
CREATE INDEX cases_newest ON cases (programme_id, created_at, id);
CREATE INDEX cases_trainee ON cases (programme_id, trainee_id, created_at, id);
CREATE INDEX cases_supervisor ON cases (programme_id, supervisor_id, created_at, id);
CREATE INDEX cases_status ON cases (programme_id, status, created_at, id);

-- What was submitted, version by version. The columns after submitted_at repeat what evidence needs of record and computed.
CREATE TABLE case_versions (
    programme_id   {{id}} NOT NULL,
    case_id        {{id}} NOT NULL,
    version        integer NOT NULL CHECK (version >= 1),
    record         {{json}} NOT NULL CHECK ({{object "record"}}),
    computed       {{json}} NOT NULL CHECK ({{object "computed"}}),
    content_hash   {{id}} NOT NULL,
    submitted_at   {{time}} NOT NULL,
    operated_on    {{id}} NOT NULL,
    site           text NOT NULL,
    operation      {{id}} NOT NULL,
    pattern        {{id}} NOT NULL,
    scope          {{id}} NOT NULL,
    policy         {{id}} NOT NULL,
    lines_complete boolean NOT NULL,
    block_tested   boolean NOT NULL,
    PRIMARY KEY (programme_id, case_id, version),
    FOREIGN KEY (programme_id, case_id) REFERENCES cases (programme_id, id)
);
{{appendOnly "case_versions"}}

-- What was done to a case: by whom, when, why.
CREATE TABLE case_acts (
    programme_id {{id}} NOT NULL,
    case_id      {{id}} NOT NULL,
    seq          integer NOT NULL CHECK (seq >= 1),
    kind         {{id}} NOT NULL CHECK (length(kind) BETWEEN 1 AND 40),
    by_id        {{id}} NOT NULL REFERENCES people (id),
    at           {{time}} NOT NULL,
    reason       text NOT NULL,
    version      integer NOT NULL CHECK (version >= 0),
    PRIMARY KEY (programme_id, case_id, seq),
    FOREIGN KEY (programme_id, case_id) REFERENCES cases (programme_id, id)
);
{{appendOnly "case_acts"}}

-- A signature binds one version of a case by its content hash; a version is signed once.
CREATE TABLE sign_offs (
    id               {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id     {{id}} NOT NULL,
    case_id          {{id}} NOT NULL,
    case_version     integer NOT NULL,
    content_hash     {{id}} NOT NULL,
    assessor_id      {{id}} NOT NULL REFERENCES people (id),
    assessor_name    text NOT NULL,
    meaning          text NOT NULL,
    statement        {{json}} NOT NULL CHECK ({{object "statement"}}),
    role             {{id}} NOT NULL,
    role_reason      text NOT NULL,
    role_claimed     {{id}} NOT NULL,
    help_given       integer NOT NULL CHECK (help_given BETWEEN 1 AND 5),
    supervision_next integer NOT NULL CHECK (supervision_next BETWEEN 1 AND 5),
    age_days         integer NOT NULL CHECK (age_days >= 0),
    late_recall      boolean NOT NULL,
    signed_at        {{time}} NOT NULL,
    UNIQUE (programme_id, case_id, case_version),
    FOREIGN KEY (programme_id, case_id, case_version) REFERENCES case_versions (programme_id, case_id, version)
);
CREATE INDEX sign_offs_assessor ON sign_offs (programme_id, assessor_id);
{{appendOnly "sign_offs"}}

-- +goose Down
DROP TABLE sign_offs;
DROP TABLE case_acts;
DROP TABLE case_versions;
DROP TABLE cases;
{{dropGuards "sign_offs"}}
{{dropGuards "case_acts"}}
{{dropGuards "case_versions"}}
