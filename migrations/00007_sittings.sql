-- +goose Up

-- A trainee's test on one version of a scenario: what was saved of the plan so far, and how it ended. It counts once for each version,
-- a trainee has one open at a time, and it takes its attempt number when it starts. ends_at is null when the scenario sets no time.
-- scope_policy is the version of the programme's scope policy at the start; 0 is the one that comes with the program.
CREATE TABLE sittings (
    id               {{id}} NOT NULL PRIMARY KEY CHECK (length(id) BETWEEN 1 AND 64),
    programme_id     {{id}} NOT NULL REFERENCES programmes (id),
    trainee_id       {{id}} NOT NULL REFERENCES people (id),
    scenario         {{id}} NOT NULL CHECK (length(scenario) BETWEEN 1 AND 100),
    scenario_version integer NOT NULL CHECK (scenario_version >= 1),
    attempt          integer NOT NULL CHECK (attempt >= 1),
    scope_policy     integer NOT NULL CHECK (scope_policy >= 0),
    started_at       {{time}} NOT NULL,
    ends_at          {{time}},
    status           {{id}} NOT NULL CHECK (status IN ('open', 'submitted', 'ended')),
    plan             {{json}} NOT NULL CHECK ({{object "plan"}}),
    faults           {{json}},
    saved_at         {{time}},
    closed_at        {{time}},
    revision         integer NOT NULL CHECK (revision >= 1),
    UNIQUE (programme_id, trainee_id, scenario, scenario_version),
    UNIQUE (programme_id, trainee_id, scenario, attempt),
    CHECK ((status = 'open') = (closed_at IS NULL)),
    CHECK (faults IS NULL OR status = 'ended')
);
CREATE INDEX sittings_newest ON sittings (programme_id, started_at, id);
CREATE UNIQUE INDEX sittings_open ON sittings (programme_id, trainee_id) WHERE status = 'open';
{{closes "sittings" "status" "open"}}

-- The test that a plan answers: at most one plan for each; null for practice.
ALTER TABLE plans ADD COLUMN sitting_id {{id}} REFERENCES sittings (id);
CREATE UNIQUE INDEX plans_sitting ON plans (sitting_id);

-- The programme's own versions of the scope policy, and the file when it was handed in as one.
CREATE TABLE scope_policies (
    programme_id  {{id}} NOT NULL REFERENCES programmes (id),
    version       integer NOT NULL CHECK (version >= 1),
    in_force_from {{id}} NOT NULL CHECK (length(in_force_from) = 10),
    policy        {{json}} NOT NULL CHECK ({{object "policy"}}),
    yaml          text NOT NULL,
    created_by    {{id}} NOT NULL REFERENCES people (id),
    created_at    {{time}} NOT NULL,
    PRIMARY KEY (programme_id, version)
);
CREATE INDEX scope_policies_in_force ON scope_policies (programme_id, in_force_from, version);
{{appendOnly "scope_policies"}}

-- +goose Down
DROP TABLE scope_policies;
DROP INDEX plans_sitting;
ALTER TABLE plans DROP COLUMN sitting_id;
DROP TABLE sittings;
{{dropGuards "scope_policies"}}
{{dropGuards "sittings"}}
