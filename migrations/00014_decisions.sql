-- +goose Up

-- A committee's meeting: on which day, about which trainees in which order, who sits. Nothing of it is changed: who is forgotten gets another
-- meeting.
CREATE TABLE meetings (
    programme_id {{id}} NOT NULL REFERENCES programmes (id),
    id           {{id}} NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    held_on      {{id}} NOT NULL CHECK (length(held_on) = 10),
    note         text NOT NULL,
    created_by   {{id}} NOT NULL REFERENCES people (id),
    created_at   {{time}} NOT NULL,
    PRIMARY KEY (programme_id, id)
);
CREATE INDEX meetings_held ON meetings (programme_id, held_on);
{{appendOnly "meetings"}}

CREATE TABLE meeting_trainees (
    programme_id {{id}} NOT NULL,
    meeting_id   {{id}} NOT NULL,
    trainee_id   {{id}} NOT NULL REFERENCES people (id),
    place        integer NOT NULL CHECK (place >= 1),
    PRIMARY KEY (programme_id, meeting_id, trainee_id),
    FOREIGN KEY (programme_id, meeting_id) REFERENCES meetings (programme_id, id)
);
{{appendOnly "meeting_trainees"}}

CREATE TABLE meeting_members (
    programme_id {{id}} NOT NULL,
    meeting_id   {{id}} NOT NULL,
    person_id    {{id}} NOT NULL REFERENCES people (id),
    place        integer NOT NULL CHECK (place >= 1),
    PRIMARY KEY (programme_id, meeting_id, person_id),
    FOREIGN KEY (programme_id, meeting_id) REFERENCES meetings (programme_id, id)
);
{{appendOnly "meeting_members"}}

CREATE TABLE meeting_conflicts (
    programme_id {{id}} NOT NULL,
    meeting_id   {{id}} NOT NULL,
    trainee_id   {{id}} NOT NULL,
    person_id    {{id}} NOT NULL REFERENCES people (id),
    reason       text NOT NULL,
    declared_at  {{time}} NOT NULL,
    PRIMARY KEY (programme_id, meeting_id, trainee_id, person_id),
    FOREIGN KEY (programme_id, meeting_id, trainee_id) REFERENCES meeting_trainees (programme_id, meeting_id, trainee_id)
);
{{appendOnly "meeting_conflicts"}}

-- A member may vote again until the outcome is recorded: the highest number counts.
CREATE TABLE meeting_votes (
    programme_id {{id}} NOT NULL,
    meeting_id   {{id}} NOT NULL,
    trainee_id   {{id}} NOT NULL,
    person_id    {{id}} NOT NULL,
    number       integer NOT NULL CHECK (number >= 1),
    outcome      {{id}} NOT NULL,
    remark       text NOT NULL,
    voted_at     {{time}} NOT NULL,
    PRIMARY KEY (programme_id, meeting_id, trainee_id, person_id, number),
    FOREIGN KEY (programme_id, meeting_id, trainee_id) REFERENCES meeting_trainees (programme_id, meeting_id, trainee_id),
    FOREIGN KEY (programme_id, meeting_id, person_id) REFERENCES meeting_members (programme_id, meeting_id, person_id)
);
{{appendOnly "meeting_votes"}}

-- A recorded outcome with the standing and the evidence as they were: one for each trainee of a meeting. follows_id is the trainee's decision
-- before, so that each has one successor at most.
CREATE TABLE decisions (
    programme_id {{id}} NOT NULL,
    id           {{id}} NOT NULL CHECK (length(id) BETWEEN 1 AND 64),
    meeting_id   {{id}} NOT NULL,
    trainee_id   {{id}} NOT NULL,
    outcome      {{id}} NOT NULL,
    follows_id   {{id}},
    content      {{json}} NOT NULL CHECK ({{object "content"}}),
    evidence     {{json}} NOT NULL CHECK ({{object "evidence"}}),
    standard     text NOT NULL,
    signed_at    {{time}} NOT NULL,
    PRIMARY KEY (programme_id, id),
    UNIQUE (programme_id, meeting_id, trainee_id),
    UNIQUE (programme_id, follows_id),
    FOREIGN KEY (programme_id, meeting_id, trainee_id) REFERENCES meeting_trainees (programme_id, meeting_id, trainee_id),
    FOREIGN KEY (programme_id, follows_id) REFERENCES decisions (programme_id, id)
);
CREATE INDEX decisions_trainee ON decisions (programme_id, trainee_id, signed_at);
{{appendOnly "decisions"}}

CREATE TABLE decision_responses (
    programme_id {{id}} NOT NULL,
    decision_id  {{id}} NOT NULL,
    text         text NOT NULL,
    responded_at {{time}} NOT NULL,
    PRIMARY KEY (programme_id, decision_id),
    FOREIGN KEY (programme_id, decision_id) REFERENCES decisions (programme_id, id)
);
{{appendOnly "decision_responses"}}

-- +goose Down
DROP TABLE decision_responses;
DROP TABLE decisions;
DROP TABLE meeting_votes;
DROP TABLE meeting_conflicts;
DROP TABLE meeting_members;
DROP TABLE meeting_trainees;
DROP TABLE meetings;
{{dropGuards "meetings"}}
{{dropGuards "meeting_trainees"}}
{{dropGuards "meeting_members"}}
{{dropGuards "meeting_conflicts"}}
{{dropGuards "meeting_votes"}}
{{dropGuards "decisions"}}
{{dropGuards "decision_responses"}}
