-- +goose Up

-- The programme's versioned thresholds, as the file that was handed in. created_by is null when the operator added it.
CREATE TABLE standards (
    programme_id  {{id}} NOT NULL REFERENCES programmes (id),
    version       integer NOT NULL CHECK (version >= 1),
    in_force_from {{id}} NOT NULL CHECK (length(in_force_from) = 10),
    yaml          text NOT NULL,
    created_by    {{id}} REFERENCES people (id),
    created_at    {{time}} NOT NULL,
    PRIMARY KEY (programme_id, version)
);
CREATE INDEX standards_in_force ON standards (programme_id, in_force_from, version);
{{appendOnly "standards"}}

-- A graded plan never changes. The columns beside plan and grade repeat what lists and evidence need of the grade.
CREATE TABLE plans (
    id               {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id     {{id}} NOT NULL REFERENCES programmes (id),
    trainee_id       {{id}} NOT NULL REFERENCES people (id),
    scenario         {{id}} NOT NULL CHECK (length(scenario) BETWEEN 1 AND 100),
    scenario_version integer NOT NULL CHECK (scenario_version >= 1),
    attempt          integer NOT NULL CHECK (attempt >= 1),
    pattern          {{id}} NOT NULL,
    letter           {{id}} NOT NULL,
    score            {{real}} NOT NULL,
    unsafe           boolean NOT NULL,
    plan             {{json}} NOT NULL CHECK ({{object "plan"}}),
    grade            {{json}} NOT NULL CHECK ({{object "grade"}}),
    submitted_at     {{time}} NOT NULL,
    UNIQUE (programme_id, trainee_id, scenario, attempt)
);
CREATE INDEX plans_newest ON plans (programme_id, submitted_at, id);
CREATE INDEX plans_trainee ON plans (programme_id, trainee_id, submitted_at, id);
{{appendOnly "plans"}}

-- +goose Down
DROP TABLE plans;
DROP TABLE standards;
{{dropGuards "plans"}}
{{dropGuards "standards"}}
