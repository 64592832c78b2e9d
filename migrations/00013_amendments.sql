-- +goose Up

-- A signed case that is amended keeps the version signed last, which counts meanwhile. last_version is the highest version ever submitted
-- when that is above version (an amendment was given up), else 0. Both follow from case_versions and sign_offs: an audit compares them.
ALTER TABLE cases ADD COLUMN signed_version integer NOT NULL DEFAULT 0 CHECK (signed_version >= 0);
ALTER TABLE cases ADD COLUMN last_version integer NOT NULL DEFAULT 0 CHECK (last_version >= 0);
UPDATE cases SET signed_version = (SELECT COALESCE(MAX(s.case_version), 0) FROM sign_offs s WHERE s.programme_id = cases.programme_id AND s.case_id = cases.id);

-- When the signer last proved who they are; null in signatures from before it was kept.
ALTER TABLE sign_offs ADD COLUMN proved_at {{time}};

-- +goose Down
ALTER TABLE sign_offs DROP COLUMN proved_at;
ALTER TABLE cases DROP COLUMN last_version;
ALTER TABLE cases DROP COLUMN signed_version;
