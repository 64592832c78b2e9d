package migrations

import (
	"fmt"
	"strings"
	"text/template"
)

// guards are the template functions that make the database itself refuse: a check that a column holds a JSON object; triggers that abort
// every UPDATE and DELETE (appendOnly), all but an UPDATE by which a column rises (onlyRises), or all but an UPDATE while a column still
// has its open value (closes); and their removal (SQLite drops triggers with their table; PostgreSQL keeps the function).
func guards(dialect Dialect) template.FuncMap {
	if dialect == SQLite {
		return template.FuncMap{
			"object": func(column string) string {
				return fmt.Sprintf("json_valid(%[1]s) AND json_type(%[1]s) = 'object'", column)
			},
			"appendOnly": func(table string) string { return sqliteAbort(table, "UPDATE", "") + sqliteAbort(table, "DELETE", "") },
			"onlyRises": func(table, column string) string {
				return sqliteAbort(table, "UPDATE", fmt.Sprintf("WHEN NEW.%[1]s <= OLD.%[1]s", column)) + sqliteAbort(table, "DELETE", "")
			},
			"closes": func(table, column, open string) string {
				return sqliteAbort(table, "UPDATE", fmt.Sprintf("WHEN OLD.%s <> '%s'", column, open)) + sqliteAbort(table, "DELETE", "")
			},
			"dropGuards": func(string) string { return "" },
		}
	}
	return template.FuncMap{
		"object":     func(column string) string { return fmt.Sprintf("json_typeof(%s) = 'object'", column) },
		"appendOnly": func(table string) string { return postgresAbort(table, "") },
		"onlyRises": func(table, column string) string {
			return postgresAbort(table, fmt.Sprintf("IF TG_OP = 'UPDATE' AND NEW.%[1]s > OLD.%[1]s THEN RETURN NEW; END IF;", column))
		},
		"closes": func(table, column, open string) string {
			return postgresAbort(table, fmt.Sprintf("IF TG_OP = 'UPDATE' AND OLD.%s = '%s' THEN RETURN NEW; END IF;", column, open))
		},
		"dropGuards": func(table string) string { return fmt.Sprintf("DROP FUNCTION %s_guard();", table) },
	}
}

// sqliteAbort is a trigger that refuses one operation on a table, under a condition or always.
func sqliteAbort(table, operation, when string) string {
	return statement(fmt.Sprintf(`CREATE TRIGGER %[1]s_no_%[2]s BEFORE %[3]s ON %[1]s %[4]s
BEGIN
    SELECT RAISE(ABORT, '%[1]s is append-only: no %[3]s');
END;`, table, strings.ToLower(operation), operation, when))
}

// postgresAbort is a function and two triggers that refuse UPDATE, DELETE and TRUNCATE on a table, save for what unless lets through.
func postgresAbort(table, unless string) string {
	return statement(fmt.Sprintf(`CREATE FUNCTION %[1]s_guard() RETURNS trigger LANGUAGE plpgsql AS $guard$
BEGIN
    %[2]s
    RAISE EXCEPTION '%[1]s is append-only: no %%', TG_OP USING ERRCODE = 'restrict_violation';
END;
$guard$;`, table, unless)) +
		fmt.Sprintf("CREATE TRIGGER %[1]s_no_change BEFORE UPDATE OR DELETE ON %[1]s FOR EACH ROW EXECUTE FUNCTION %[1]s_guard();\n", table) +
		fmt.Sprintf("CREATE TRIGGER %[1]s_no_truncate BEFORE TRUNCATE ON %[1]s FOR EACH STATEMENT EXECUTE FUNCTION %[1]s_guard();\n", table)
}

// statement marks SQL that holds semicolons of its own as one statement for goose.
func statement(sql string) string {
	return "-- +goose StatementBegin\n" + sql + "\n-- +goose StatementEnd\n"
}
