package competency

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Finding is one identifier of a person seen in free text.
type Finding struct {
	Field   string `json:"field,omitempty"` // where the text stands; empty when only the text was given
	Kind    string `json:"kind"`
	Excerpt string `json:"excerpt"`
	Reason  string `json:"reason"`

	Keepable bool `json:"keepable"` // whether a person may keep it and say why: see Override
}

// The kinds of identifier the screen looks for, each one of the list in 45 CFR 164.514(b)(2)(i).
const (
	KindRecordNumber = "record-number"
	KindDate         = "date"
	KindName         = "name"
	KindPhone        = "phone"
	KindEmail        = "e-mail"
	KindAddress      = "address"
	KindAge          = "age"
	KindWeb          = "web-address"
)

// reasons say what is wrong and what to do, by kind.
var reasons = map[string]string{
	KindRecordNumber: "looks like a number that names a patient or a device: leave it out",
	KindDate:         "a date can name a patient: write days or months after the operation instead",
	KindName:         "looks like a person's name: leave it out",
	KindPhone:        "looks like a telephone number: leave it out",
	KindEmail:        "looks like an e-mail address: leave it out",
	KindAddress:      "looks like an address: leave it out",
	KindAge:          "an age over 89 can name a patient: write 'over 89'",
	KindWeb:          "looks like a web or network address: leave it out",
}

// screen is one pattern. keep, if set, decides on what the pattern cannot say, from the last group that took part in the match: an age
// with a unit behind it ("age 95 days") fails because the unit is no number.
type screen struct {
	kind    string
	pattern *regexp.Regexp
	keep    func(found string) bool
}

const (
	month    = `(?:Jan(?:uary)?|Feb(?:ruary)?|Mar(?:ch)?|Apr(?:il)?|May|June?|July?|Aug(?:ust)?|Sept?(?:ember)?|Oct(?:ober)?|Nov(?:ember)?|Dec(?:ember)?)\b\.?`
	name     = `\p{Lu}[\p{L}'’-]+`
	road     = `(?:Street|St|Road|Rd|Avenue|Ave|Lane|Ln|Drive|Court|Crescent|Terrace|Boulevard|Blvd|Square|Gardens)\b`
	numbered = `(?:\s+(?:no|number|num|id|record))*`
	code     = `([A-Z]{0,4}[-/]?\d[\dA-Z]*(?:[-/\s]?\d+)*)\b`
)

// screens are the patterns; earlier ones win where two find the same text.
var screens = []screen{
	{KindEmail, regexp.MustCompile(`[\pL\pN._%+-]+@[\pL\pN-]+(?:\.[\pL\pN-]+)+`), nil},
	{KindWeb, regexp.MustCompile(`(?i)\b(?:(?:https?|s?ftp)://|www\.)\S+`), nil},
	{KindWeb, regexp.MustCompile(`(?i)\b(?:[0-9a-f]{1,4}:){1,6}(?::[0-9a-f]{1,4}){1,6}\b|\b(?:[0-9a-f]{1,4}:){7}[0-9a-f]{1,4}\b`), nil},
	{KindWeb, regexp.MustCompile(`\b\d{1,3}\.\d{1,3}\.\d{1,3}\.\d{1,3}\b`), nil},
	{KindDate, regexp.MustCompile(`\b(?:19|20)\d\d[-/.](?:0?[1-9]|1[0-2])[-/.](?:0?[1-9]|[12]\d|3[01])\b`), nil},
	{KindDate, regexp.MustCompile(`\b\d\d?/\d\d?/(?:(?:19|20)\d\d|\d\d)\b|\b\d\d?-\d\d?-(?:(?:19|20)\d\d|\d\d)\b|\b\d\d?\.\d\d?\.(?:19|20)\d\d\b|\b\d\d\.\d\d\.\d\d\b`), plausibleDate},
	{KindDate, regexp.MustCompile(`(?i)\b(?:0?[1-9]|[12]\d|3[01])(?:st|nd|rd|th)?(?:\s+of)?[\s-]+` + month + `(?:,?[\s-]*(?:19|20)\d\d)?`), notModalMay},
	{KindDate, regexp.MustCompile(`(?i)\b` + month + `\s+(?:(?:0?[1-9]|[12]\d|3[01])(?:st|nd|rd|th)?\b(?:,?\s*(?:19|20)\d\d)?|(?:19|20)\d\d\b)`), notModalMay},
	{KindRecordNumber, regexp.MustCompile(`\b\d{3}-\d{2}-\d{4}\b`), nil},
	{KindRecordNumber, regexp.MustCompile(`(?i)\b(?:MRN|NHS|SSN|CHI|social\s+security|accession|passport|serial|beneficiary|VIN)` + numbered + `[.:#]?\s*(?:is\s+)?` + code), hasDigits(3)},
	{KindRecordNumber, regexp.MustCompile(`(?i)\b(?:hospital|record|patient|chart|file|case|account|policy|insurance|health\s+plan|member|licen[cs]e|certificate|lot|device|episode|study|trial)(?:\s+(?:no|number|num|id|record))*(?:\s+(?:no|number|num|id)[.:#]?|[:#]|\s+#)\s*(?:is\s+)?` + code), hasDigits(3)},
	{KindRecordNumber, regexp.MustCompile(`(?i)\b(?:(?:number|licen[cs]e)\s+plate|plate\s+number|vehicle\s+registration)[.:]?\s+([A-Z0-9]{1,4}(?:[\s-]?[A-Z0-9]{1,4}){1,2})\b`), hasDigits(1)},
	{KindPhone, regexp.MustCompile(`\+\d{1,3}[\s.-]?(?:\(?\d{1,4}\)?[\s.-]?){2,5}\d`), hasDigits(8)},
	{KindPhone, regexp.MustCompile(`(?:\(\d{3}\)\s?|\b\d{3}[\s.-])\d{3}[\s.-]\d{4}\b`), nil},
	{KindPhone, regexp.MustCompile(`\b0\d{2,4}[\s-]\d{3,4}[\s-]?\d{3,4}\b`), nil},
	{KindPhone, regexp.MustCompile(`(?i)\b(?:tel|phone|mobile|cell|fax|bleep|pager)(?:ephone)?(?:\s+(?:no|number))?[.:#]?\s*(\+?\d[\d\s.-]{2,}\d)`), hasDigits(4)},
	{KindRecordNumber, regexp.MustCompile(`(?:\bID|#)[.:\s]*([A-Za-z]{0,3}\d{4,})\b`), nil},
	{KindRecordNumber, regexp.MustCompile(`\b[A-Za-z]{0,3}\d{6,}[A-Za-z]?\b`), nil},
	{KindName, regexp.MustCompile(`\b(?i:Mr|Mrs|Ms|Mx|Dr|Prof|Professor|Doctor)\b\.?\s+((?:\p{Lu}\.\s*){1,3}` + name + `)`), nil},
	{KindName, regexp.MustCompile(`\b(?:Mr|Ms|Mx|Miss|Sir|Sister|Nurse|Lady)\b\.?\s+(` + name + `(?:\s+` + name + `)?)`), properName},
	{KindName, regexp.MustCompile(`\b(?i:Dr|Mrs|Prof|Professor|Doctor)\b\.?\s+([\p{L}][\p{L}'’-]+)`), maybeName},
	{KindName, regexp.MustCompile(`(?i:\b(?:patient|pt|named|called|surname))\b[.:,]?\s+(` + name + `\s+` + name + `)`), properName},
	{KindName, regexp.MustCompile(`(?i:\b(?:name|surname)\s*(?:is|[:=])|\bsurname)\s*([\p{L}][\p{L}'’-]+(?:\s+` + name + `)?)`), nil},
	{KindName, regexp.MustCompile(`(?i:\binitials)\s*(?:are|[:=])?\s*((?:\p{Lu}\.?\s?){2,3})`), nil},
	{KindAddress, regexp.MustCompile(`\b\d{1,5}[A-Za-z]?,?\s+(?:` + name + `\s+){1,3}` + road), nil},
	{KindAddress, regexp.MustCompile(`(?i)\bP\.?\s?O\.?\s+Box\s+\d+`), nil},
	{KindAddress, regexp.MustCompile(`(?i)\b(?:zip|post)\s?(?:code)?[:\s]\s*((?:[A-Z]{1,2}\d[\dA-Z]?|\d{4,5})(?:[\s-]\d?[A-Z]{2}|-\d{4})?)\b`), nil},
	{KindAddress, regexp.MustCompile(`\b[A-Z]{1,2}\d(?:\d|[A-Z])\s\d[ABD-HJLNP-UW-Z]{2}\b|\b[A-Z]{2}\d\s\d[ABD-HJLNP-UW-Z]{2}\b`), nil},
	{KindAddress, regexp.MustCompile(`\b` + name + `,\s+[A-Z]{2}\s+\d{5}(?:-\d{4})?\b`), nil},
	{KindAge, regexp.MustCompile(`(?i)\b(\d{2,3})[\s-]*(?:years?|yrs?|y)[\s-]*(?:old|of\s+age)\b`), over89},
	{KindAge, regexp.MustCompile(`(?i)\b(\d{2,3})\s?(?:y/?o|yo[mf])\b`), over89},
	{KindAge, regexp.MustCompile(`(?i)\b(?:aged|age)(?:\s+(?:is|of))?[:\s]\s*(\d{2,3})\b\s*(days?|weeks?|months?|hours?|min|mm|ms|%)?`), over89},
	{KindAge, regexp.MustCompile(`(?i)\b(\d{3})[\s-]years?\b`), over89},
}

// PrivacyScreen finds identifiers of a patient in free text, in the order they stand. It looks for forms, so it can miss a bare name;
// it is tuned not to stop ordinary operative notes ("LA 48 mm", "2 applications at 60 s"). No finding is no proof.
func PrivacyScreen(text string) []Finding {
	type span struct {
		from, to int
		kind     string
	}
	var spans []span
	for _, s := range screens {
		for _, at := range s.pattern.FindAllStringSubmatchIndex(text, -1) {
			if s.keep != nil && !s.keep(identifier(text, at)) {
				continue
			}
			found := span{at[0], at[1], s.kind}
			overlaps := func(other span) bool { return found.from < other.to && other.from < found.to }
			if !slices.ContainsFunc(spans, overlaps) {
				spans = append(spans, found)
			}
		}
	}
	slices.SortFunc(spans, func(a, b span) int { return a.from - b.from })
	findings := make([]Finding, len(spans))
	for i, s := range spans {
		findings[i] = Finding{Kind: s.kind, Excerpt: strings.TrimSpace(text[s.from:s.to]), Reason: reasons[s.kind], Keepable: canBeKept(s.kind)}
	}
	return findings
}

// identifier is the text of the last group that took part in a match, or the whole match.
func identifier(text string, at []int) string {
	for i := len(at) - 2; i > 0; i -= 2 {
		if at[i] >= 0 {
			return text[at[i]:at[i+1]]
		}
	}
	return text[at[0]:at[1]]
}

// hasDigits asks for at least n digits.
func hasDigits(n int) func(string) bool {
	return func(found string) bool {
		digits := 0
		for _, r := range found {
			if unicode.IsDigit(r) {
				digits++
			}
		}
		return digits >= n
	}
}

// over89 is the rule for ages of 45 CFR 164.514(b)(2)(i)(C): 90 and more may not be told apart. No one is older than 125.
func over89(found string) bool {
	age, err := strconv.Atoi(found)
	return err == nil && age > 89 && age <= 125
}

// properName refuses words in capitals only: "MR Severe" speaks of a valve, and so does "Pt LA Dilated".
func properName(found string) bool {
	for word := range strings.FieldsSeq(found) {
		if word == strings.ToUpper(word) && utf8.RuneCountInString(word) < 4 {
			return false
		}
	}
	return true
}

// plainWords follow a title without being a name.
var plainWords = strings.Fields("to was is will who and or in on at for said asked the a an not if then with from as did had has came could would should present scrubbed of then also only")

// maybeName accepts what can be a name after a title: a capital, or a small word that is no plain one and no verb ("the professor advised").
func maybeName(found string) bool {
	if first, _ := utf8.DecodeRuneInString(found); unicode.IsUpper(first) {
		return properName(found)
	}
	verb := strings.HasSuffix(found, "ed") || strings.HasSuffix(found, "ing") || strings.HasSuffix(found, "s")
	return !verb && !slices.Contains(plainWords, found)
}

// notModalMay refuses "may" as a verb ("2 may be enough"): the month is written with a capital.
func notModalMay(found string) bool { return !strings.Contains(found, "may") }

// plausibleDate accepts three numbers as a date when a day and a month can be among the first two.
func plausibleDate(found string) bool {
	parts := strings.FieldsFunc(found, func(r rune) bool { return !unicode.IsDigit(r) })
	a, _ := strconv.Atoi(parts[0])
	b, _ := strconv.Atoi(parts[1])
	return a >= 1 && b >= 1 && min(a, b) <= 12 && max(a, b) <= 31
}
