package store_test

import (
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"

	"isthmus/api/store"
	"isthmus/api/store/storetest"
	"isthmus/competency"
	"isthmus/competency/outcome"
)

// errOnly is what a lookup of another programme's thing must give.
func errOnly[T any](_ T, err error) (any, error) { return nil, err }

// wall is what happens when a method is asked, in the name of south, for something of north's.
type wall struct {
	try  func(tx *store.Tx) (any, error)
	want error // nil: the answer must be empty
}

// columnsHash stands for a hash of column names.
var columnsHash = strings.Repeat("c", 64)

// walls has a row for every method of Tx that reads or writes a programme's data; TestWallsAreComplete keeps it so.
var walls = map[string]wall{
	"ProgrammeByID":    {func(tx *store.Tx) (any, error) { return errOnly(tx.ProgrammeByID("nowhere")) }, store.ErrNotFound},
	"ProgrammeAsBegun": {func(tx *store.Tx) (any, error) { return errOnly(tx.ProgrammeAsBegun("nowhere")) }, store.ErrNotFound},
	"RolesOn":          {func(tx *store.Tx) (any, error) { return tx.RolesOn(south, ann, "2026-03-02") }, nil},
	"Terms":            {func(tx *store.Tx) (any, error) { return tx.Terms(south, ann, "trainee") }, nil},
	"People": {func(tx *store.Tx) (any, error) {
		members, err := tx.People(south, "", "")
		return without(members, func(m store.Member) bool { return m.ID == cara || m.ID == sue }), err
	}, nil},
	"Names": {func(tx *store.Tx) (any, error) {
		names, err := tx.Names(south)
		delete(names, cara)
		delete(names, sue)
		return names, err
	}, nil},
	"MembershipsIn": {func(tx *store.Tx) (any, error) { return tx.MembershipsIn(south, ann) }, nil},
	"SetMembershipEnd": {func(tx *store.Tx) (any, error) {
		return nil, tx.SetMembershipEnd(store.Membership{Programme: south, Person: ann, Role: "trainee", From: "2026-01-01"})
	}, store.ErrNotFound},
	"InvitationByID":  {func(tx *store.Tx) (any, error) { return errOnly(tx.InvitationByID(south, "i1")) }, store.ErrNotFound},
	"OpenInvitations": {func(tx *store.Tx) (any, error) { return tx.OpenInvitations(south) }, nil},
	"SaveInvitation": {func(tx *store.Tx) (any, error) {
		return nil, tx.SaveInvitation(invitation(south, "i1", "new@example.org"))
	}, store.ErrNotFound},
	"CreateInvitation": {func(tx *store.Tx) (any, error) {
		return nil, tx.CreateInvitation(invitation(south, "i1", "other@example.org"))
	}, store.ErrDuplicate},
	"RotationByID":         {func(tx *store.Tx) (any, error) { return errOnly(tx.RotationByID(south, "r1")) }, store.ErrNotFound},
	"Rotations":            {func(tx *store.Tx) (any, error) { return tx.Rotations(south, ann) }, nil},
	"EndRotation":          {func(tx *store.Tx) (any, error) { return nil, tx.EndRotation(south, "r1", "2026-12-31") }, store.ErrNotFound},
	"DeleteRotation":       {func(tx *store.Tx) (any, error) { return nil, tx.DeleteRotation(south, "r1") }, store.ErrNotFound},
	"Deactivated":          {func(tx *store.Tx) (any, error) { return tx.Deactivated(south) }, nil},
	"LiftDeactivation":     {func(tx *store.Tx) (any, error) { return nil, tx.LiftDeactivation(south, ben) }, store.ErrNotFound},
	"EndMembership":        {func(tx *store.Tx) (any, error) { return nil, tx.EndMembership(south, ann, "trainee", "2026-12-31") }, store.ErrNotFound},
	"Standards":            {func(tx *store.Tx) (any, error) { return tx.Standards(south) }, nil},
	"StandardByVersion":    {func(tx *store.Tx) (any, error) { return errOnly(tx.StandardByVersion(south, 1)) }, store.ErrNotFound},
	"StandardInForce":      {func(tx *store.Tx) (any, error) { return errOnly(tx.StandardInForce(south, "2026-03-02")) }, store.ErrNotFound},
	"ScopePolicies":        {func(tx *store.Tx) (any, error) { return tx.ScopePolicies(south) }, nil},
	"ScopePolicyByVersion": {func(tx *store.Tx) (any, error) { return errOnly(tx.ScopePolicyByVersion(south, 1)) }, store.ErrNotFound},
	"ScopePolicyInForce":   {func(tx *store.Tx) (any, error) { return errOnly(tx.ScopePolicyInForce(south, "2026-03-02")) }, store.ErrNotFound},
	"SittingByID":          {func(tx *store.Tx) (any, error) { return errOnly(tx.SittingByID(south, "t1")) }, store.ErrNotFound},
	"SittingOf":            {func(tx *store.Tx) (any, error) { return errOnly(tx.SittingOf(south, ann, "tested", 2)) }, store.ErrNotFound},
	"SittingsPast":         {func(tx *store.Tx) (any, error) { return tx.SittingsPast(south, start.AddDate(1, 0, 0)) }, nil},
	"Sittings": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Sittings(south, store.SittingFilter{Trainee: ann}, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"CreateSitting": {func(tx *store.Tx) (any, error) {
		return nil, tx.CreateSitting(sitting(south, "t1", cara, "tested", start))
	}, store.ErrDuplicate},
	"QuizByID":    {func(tx *store.Tx) (any, error) { return errOnly(tx.QuizByID(south, "q1")) }, store.ErrNotFound},
	"QuizzesOf":   {func(tx *store.Tx) (any, error) { return tx.QuizzesOf(south, ann) }, nil},
	"QuizzesPast": {func(tx *store.Tx) (any, error) { return tx.QuizzesPast(south, start.AddDate(1, 0, 0)) }, nil},
	"Quizzes": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Quizzes(south, store.QuizFilter{Trainee: ann}, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"CreateQuiz": {func(tx *store.Tx) (any, error) { return nil, tx.CreateQuiz(quiz(south, "q1", cara, start)) }, store.ErrDuplicate},
	"SaveQuiz":   {func(tx *store.Tx) (any, error) { return nil, tx.SaveQuiz(quiz(south, "q1", ann, start), 1) }, store.ErrNotFound},
	"SaveSitting": {func(tx *store.Tx) (any, error) {
		return nil, tx.SaveSitting(sitting(south, "t1", ann, "tested", start), 1)
	}, store.ErrNotFound},
	"PlanByID": {func(tx *store.Tx) (any, error) { return errOnly(tx.PlanByID(south, "p1")) }, store.ErrNotFound},
	"PlansOf":  {func(tx *store.Tx) (any, error) { return tx.PlansOf(south, ann, "") }, nil},
	"Plans": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Plans(south, store.PlanFilter{Trainee: ann}, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"EditionByID": {func(tx *store.Tx) (any, error) { return errOnly(tx.EditionByID(south, "own")) }, store.ErrNotFound},
	"Editions":    {func(tx *store.Tx) (any, error) { return tx.Editions(south) }, nil},
	"EditionActs": {func(tx *store.Tx) (any, error) { return tx.EditionActs(south, "own") }, nil},
	"SaveEdition": {func(tx *store.Tx) (any, error) { return nil, tx.SaveEdition(south, edition("own", sue), 2, start) }, store.ErrNotFound},
	"AddEditionAct": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddEditionAct(south, "own", store.Done{Kind: "retire", By: sue, At: start, Version: 1})
	}, store.ErrReference},
	"ScenarioVersion":  {func(tx *store.Tx) (any, error) { return errOnly(tx.ScenarioVersion(south, "own", 1)) }, store.ErrNotFound},
	"ScenarioVersions": {func(tx *store.Tx) (any, error) { return tx.ScenarioVersions(south, "own") }, nil},
	"QuestionByID":     {func(tx *store.Tx) (any, error) { return errOnly(tx.QuestionByID(south, "own")) }, store.ErrNotFound},
	"Questions":        {func(tx *store.Tx) (any, error) { return tx.Questions(south) }, nil},
	"QuestionActs":     {func(tx *store.Tx) (any, error) { return tx.QuestionActs(south, "own") }, nil},
	"SaveQuestion":     {func(tx *store.Tx) (any, error) { return nil, tx.SaveQuestion(south, asked("own"), 2, start) }, store.ErrNotFound},
	"AddQuestionAct": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddQuestionAct(south, "own", store.Done{Kind: "retire", By: sue, At: start, Version: 1})
	}, store.ErrReference},
	"QuestionVersions":    {func(tx *store.Tx) (any, error) { return tx.QuestionVersions(south, "own") }, nil},
	"QuestionsAsked":      {func(tx *store.Tx) (any, error) { return tx.QuestionsAsked(south) }, nil},
	"AllQuestionVersions": {func(tx *store.Tx) (any, error) { return tx.AllQuestionVersions(south) }, nil},
	"TestsTaken":          {func(tx *store.Tx) (any, error) { return tx.TestsTaken(south) }, nil},
	"CreateTest":          {func(tx *store.Tx) (any, error) { return nil, tx.CreateTest(south, ownTest("t2"), start) }, nil},
	"TestByID":            {func(tx *store.Tx) (any, error) { return errOnly(tx.TestByID(south, "t1")) }, store.ErrNotFound},
	"SaveTest":            {func(tx *store.Tx) (any, error) { return nil, tx.SaveTest(south, ownTest("t1"), 1, start) }, store.ErrNotFound},
	"Tests": {func(tx *store.Tx) (any, error) {
		tests, err := tx.Tests(south)
		return without(tests, func(o store.OwnTest) bool { return o.ID == "t2" }), err
	}, nil},
	"KeepTestVersion":  {func(tx *store.Tx) (any, error) { return nil, tx.KeepTestVersion(south, keptTest("t1")) }, store.ErrReference},
	"TestVersions":     {func(tx *store.Tx) (any, error) { return tx.TestVersions(south, "t1") }, nil},
	"AttemptsAtTest":   {func(tx *store.Tx) (any, error) { return tx.AttemptsAtTest(south, "t1") }, nil},
	"CreatePanel":      {func(tx *store.Tx) (any, error) { return nil, tx.CreatePanel(south, judged("p2")) }, store.ErrReference},
	"PanelByID":        {func(tx *store.Tx) (any, error) { return errOnly(tx.PanelByID(south, "p1")) }, store.ErrNotFound},
	"SavePanel":        {func(tx *store.Tx) (any, error) { return nil, tx.SavePanel(south, judged("p1"), 1) }, store.ErrNotFound},
	"Panels":           {func(tx *store.Tx) (any, error) { return tx.Panels(south, "") }, nil},
	"SavePanelSheet":   {func(tx *store.Tx) (any, error) { return nil, tx.SavePanelSheet(south, "p1", sheet(dan, 1), start) }, store.ErrReference},
	"ClosePanelSheets": {func(tx *store.Tx) (any, error) { return nil, tx.ClosePanelSheets(south, "p1", 1) }, nil},
	"PanelSheets":      {func(tx *store.Tx) (any, error) { return tx.PanelSheets(south, "p1") }, nil},
	"AddTestCut":       {func(tx *store.Tx) (any, error) { return nil, tx.AddTestCut(south, adopted("t1")) }, store.ErrReference},
	"TestCuts":         {func(tx *store.Tx) (any, error) { return tx.TestCuts(south, "t1") }, nil},
	"LiveQuestions":    {func(tx *store.Tx) (any, error) { return tx.LiveQuestions(south) }, nil},
	"LiveScenarios":    {func(tx *store.Tx) (any, error) { return tx.LiveScenarios(south) }, nil},
	"AttemptsBy":       {func(tx *store.Tx) (any, error) { return tx.AttemptsBy(south, ann) }, nil},
	"NextAttempt": {func(tx *store.Tx) (any, error) {
		next, err := tx.NextAttempt(south, ann, "one")
		return next - 1, err
	}, nil},
	"CaseByID":          {func(tx *store.Tx) (any, error) { return errOnly(tx.CaseByID(south, "c1")) }, store.ErrNotFound},
	"CasePatterns":      {func(tx *store.Tx) (any, error) { return tx.CasePatterns(south, ann) }, nil},
	"RenameCasePattern": {func(tx *store.Tx) (any, error) { return nil, tx.RenameCasePattern(south, ann, "pattern", "Other") }, store.ErrNotFound},
	"DeleteCasePattern": {func(tx *store.Tx) (any, error) { return nil, tx.DeleteCasePattern(south, ann, "pattern") }, store.ErrNotFound},
	"SettingsVersions":  {func(tx *store.Tx) (any, error) { return tx.SettingsVersions(south) }, nil},
	"CaseGroupsOf":      {func(tx *store.Tx) (any, error) { return tx.CaseGroupsOf(south, "c1") }, nil},
	"CasesOfGroup":      {func(tx *store.Tx) (any, error) { return tx.CasesOfGroup(south, "g1") }, nil},
	"CasesOn":           {func(tx *store.Tx) (any, error) { return tx.CasesOn(south, "2026-02-20") }, nil},
	"LeaveCaseGroup":    {func(tx *store.Tx) (any, error) { return nil, tx.LeaveCaseGroup(south, "c1") }, store.ErrNotFound},
	"JoinCaseGroup": {func(tx *store.Tx) (any, error) {
		return nil, tx.JoinCaseGroup(store.GroupedCase{Programme: south, Case: "c1", Group: "g1", JoinedBy: sue, JoinedAt: start})
	}, store.ErrReference},
	"CaseVersions": {func(tx *store.Tx) (any, error) { return tx.CaseVersions(south, "c1") }, nil},
	"CaseActs":     {func(tx *store.Tx) (any, error) { return tx.CaseActs(south, "c1") }, nil},
	"SignOffsFor":  {func(tx *store.Tx) (any, error) { return tx.SignOffsFor(south, ann) }, nil},
	"SignOffs":     {func(tx *store.Tx) (any, error) { return tx.SignOffs(south, "c1") }, nil},
	"Cases": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Cases(south, store.CaseFilter{Trainee: ann}, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"OverrideByID":  {func(tx *store.Tx) (any, error) { return errOnly(tx.OverrideByID(south, "o1")) }, store.ErrNotFound},
	"OverrideKinds": {func(tx *store.Tx) (any, error) { return tx.OverrideKinds(south, "case", "c1", "record.note") }, nil},
	"Overrides": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Overrides(south, false, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"AddOverrideReview": {func(tx *store.Tx) (any, error) { return nil, tx.AddOverrideReview(south, "o1", sue, start) }, store.ErrReference},
	"TraineesOf":        {func(tx *store.Tx) (any, error) { return tx.TraineesOf(south, sue) }, nil},
	"EvidenceFor":       {func(tx *store.Tx) (any, error) { return tx.EvidenceFor(south, ann) }, nil},
	"EvidenceForAll":    {func(tx *store.Tx) (any, error) { return tx.EvidenceForAll(south) }, nil},
	"Ratings":           {func(tx *store.Tx) (any, error) { return tx.Ratings(south) }, nil},
	"Outcomes": {func(tx *store.Tx) (any, error) {
		signed, recorded, err := tx.Outcomes(south)
		return append(without(signed, func(s outcome.Signed) bool { return s.Trainee == cara }), make([]outcome.Signed, len(recorded))...), err
	}, nil},
	"FollowUpsOnRecord": {func(tx *store.Tx) (any, error) { return tx.FollowUpsOnRecord(south, ann) }, nil},
	"IdempotencyKey": {func(tx *store.Tx) (any, error) {
		row, _, err := tx.IdempotencyKey(south, ann, "key")
		return row, err
	}, nil},
	"AuditEntries": {func(tx *store.Tx) (any, error) {
		list, _, err := tx.AuditEntries(south, store.Page{})
		return without(list, func(e store.AuditEntry) bool { return e.Programme == south }), err
	}, nil},
	"FollowUps":    {func(tx *store.Tx) (any, error) { return tx.FollowUps(south, "c1") }, nil},
	"FollowUpByID": {func(tx *store.Tx) (any, error) { return errOnly(tx.FollowUpByID(south, "f1")) }, store.ErrNotFound},
	"FollowedCases": {func(tx *store.Tx) (any, error) {
		return tx.FollowedCases(south, store.CaseFilter{Trainee: ann})
	}, nil},
	"AddFollowUp": {func(tx *store.Tx) (any, error) { return nil, tx.AddFollowUp(followUp(south, "f1", 3)) }, store.ErrReference},
	"CaseKeyOf":   {func(tx *store.Tx) (any, error) { return errOnly(tx.CaseKeyOf(south, "c1", ann)) }, store.ErrNotFound},
	"CasesByKey":  {func(tx *store.Tx) (any, error) { return tx.CasesByKey(south, caseKey(north).Key) }, nil},
	"SaveCaseKey": {func(tx *store.Tx) (any, error) { return nil, tx.SaveCaseKey(caseKey(south)) }, store.ErrReference},
	"SaveCase":    {func(tx *store.Tx) (any, error) { return nil, tx.SaveCase(draft(south, "c1", ann, start), 1) }, store.ErrNotFound},
	"AddCaseVersion": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddCaseVersion(submitted(submitted(draft(south, "c1", ann, start), start), start))
	}, store.ErrReference},
	"AddCaseAct": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddCaseAct(south, "c1", store.Done{Kind: "withdraw", By: sue, At: start})
	}, store.ErrReference},
	"AddSignOff": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddSignOff(south, signature("s9", competency.Case{ID: "c1", Version: 1}, start))
	}, store.ErrReference},
	"SealCase":        {func(tx *store.Tx) (any, error) { return nil, tx.SealCase(south, "c1") }, store.ErrNotFound},
	"CreateCase":      {func(tx *store.Tx) (any, error) { return nil, tx.CreateCase(draft(south, "c1", cara, start)) }, store.ErrDuplicate},
	"Accounted":       {func(tx *store.Tx) (any, error) { return tx.Accounted(south, ann) }, nil},
	"AccountedForAll": {func(tx *store.Tx) (any, error) { return tx.AccountedForAll(south) }, nil},
	"SignedVersions":  {func(tx *store.Tx) (any, error) { return tx.SignedVersions(south) }, nil},
	"Returns":         {func(tx *store.Tx) (any, error) { return tx.Returns(south) }, nil},
	"FirstTries":      {func(tx *store.Tx) (any, error) { return tx.FirstTries(south) }, nil},
	"Statements":      {func(tx *store.Tx) (any, error) { return tx.Statements(south, ben) }, nil},
	"LastEntry":       {func(tx *store.Tx) (any, error) { return errOnly(tx.LastEntry(south, "case", "c1")) }, store.ErrNotFound},
	"CreateImport": {func(tx *store.Tx) (any, error) {
		return nil, tx.CreateImport(store.Import{ID: "im1", Programme: south, By: cara, FileHash: strings.Repeat("b", 64), Total: 1, Mapping: map[string]string{"site": "Place"}, CreatedAt: start}, []byte("[]"))
	}, store.ErrDuplicate},
	"ImportByID": {func(tx *store.Tx) (any, error) { return errOnly(tx.ImportByID(south, "im1")) }, store.ErrNotFound},
	"Imports": {func(tx *store.Tx) (any, error) {
		imports, next, err := tx.Imports(south, ann, true, store.Page{})
		return imports, errors.Join(err, noCursor(next))
	}, nil},
	"CloseImport": {func(tx *store.Tx) (any, error) {
		return nil, tx.CloseImport(store.Import{ID: "im1", Programme: south}, 1)
	}, store.ErrStale},
	"HoldsLease":    {func(tx *store.Tx) (any, error) { return tx.HoldsLease(south, "im1", "") }, nil},
	"ImportMapping": {func(tx *store.Tx) (any, error) { return tx.ImportMapping(south, columnsHash) }, nil},
	"CasesOfImport": {func(tx *store.Tx) (any, error) { return tx.CasesOfImport(south, "im1") }, nil},
	"AddImportedCases": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddImportedCases(south, "im1", []store.ImportedCase{{Case: draft(south, "c1", cara, start), Row: 2}})
	}, store.ErrDuplicate},
	"CreateSimulation": {func(tx *store.Tx) (any, error) {
		return nil, tx.CreateSimulation(store.Simulation{ID: "sim1", Programme: south, By: cara, Plan: []byte("{}"), Total: 1, CreatedAt: start})
	}, store.ErrDuplicate},
	"SimulationByID": {func(tx *store.Tx) (any, error) { return errOnly(tx.SimulationByID(south, "sim1")) }, store.ErrNotFound},
	"Simulations": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Simulations(south, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"CloseSimulation": {func(tx *store.Tx) (any, error) {
		return nil, tx.CloseSimulation(store.Simulation{ID: "sim1", Programme: south, State: store.SimulationCancelled}, 1)
	}, store.ErrStale},
	"HoldsSimulation": {func(tx *store.Tx) (any, error) { return tx.HoldsSimulation(south, "sim1", "") }, nil},
	"CreateReport": {func(tx *store.Tx) (any, error) {
		return nil, tx.CreateReport(store.Report{ID: "rep1", Programme: south, By: cara, Kind: store.MeetingPack, On: "2026-03-01", Total: 1, CreatedAt: start})
	}, store.ErrDuplicate},
	"ReportByID": {func(tx *store.Tx) (any, error) { return errOnly(tx.ReportByID(south, "rep1")) }, store.ErrNotFound},
	"ReportFile": {func(tx *store.Tx) (any, error) { return errOnly(tx.ReportFile(south, "rep1")) }, store.ErrNotFound},
	"ViewingOf":  {func(tx *store.Tx) (any, error) { return tx.ViewingOf(south, ann) }, nil},
	"EntriesOf":  {func(tx *store.Tx) (any, error) { return tx.EntriesOf(south, ann, "test", 5) }, nil},
	"Reports": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.Reports(south, ann, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"CloseReport": {func(tx *store.Tx) (any, error) {
		return nil, tx.CloseReport(store.Report{ID: "rep1", Programme: south, State: store.ReportFailed}, nil, 1)
	}, store.ErrStale},
	"ForgetReportFile": {func(tx *store.Tx) (any, error) { return nil, tx.ForgetReportFile(south, "rep1") }, store.ErrNotFound},
	"HoldsReport":      {func(tx *store.Tx) (any, error) { return tx.HoldsReport(south, "rep1", "") }, nil},
	"StatementSources": {func(tx *store.Tx) (any, error) {
		list, next, err := tx.StatementSources(south, store.Page{})
		return list, errors.Join(err, noCursor(next))
	}, nil},
	"UntoldSources":   {func(tx *store.Tx) (any, error) { return tx.UntoldSources(south, 10) }, nil},
	"StatementChoice": {func(tx *store.Tx) (any, error) { return tx.StatementChoice(south) }, nil},
	"StatementQueue":  {func(tx *store.Tx) (any, error) { return tx.StatementQueue(south) }, nil},
	"SentStatement":   {func(tx *store.Tx) (any, error) { return tx.SentStatement(south, toldID, "", start) }, nil},
	"AddStatements":   {func(tx *store.Tx) (any, error) { return nil, tx.AddStatements(south, told(south)) }, store.ErrDuplicate},
	"MeetingByID":     {func(tx *store.Tx) (any, error) { return errOnly(tx.MeetingByID(south, "m1")) }, store.ErrNotFound},
	"Meetings":        {func(tx *store.Tx) (any, error) { return tx.Meetings(south) }, nil},
	"Ballots":         {func(tx *store.Tx) (any, error) { return tx.Ballots(south, "m1") }, nil},
	"AddConflict": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddConflict(south, "m1", ann, competency.Conflict{Member: ben, Reason: "x", DeclaredAt: start})
	}, store.ErrReference},
	"AddVote": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddVote(south, "m1", ann, competency.Vote{Member: dan, VotedAt: start})
	}, store.ErrReference},
	"AddDecision": {func(tx *store.Tx) (any, error) { return nil, tx.AddDecision(decided(south, "m1")) }, store.ErrReference},
	"AddResponse": {func(tx *store.Tx) (any, error) {
		return nil, tx.AddResponse(south, "x1", competency.Response{Text: "x", RespondedAt: start})
	}, store.ErrReference},
	"StandardMoves":   {func(tx *store.Tx) (any, error) { return tx.StandardMoves(south, ann) }, nil},
	"AddStandardMove": {func(tx *store.Tx) (any, error) { return nil, tx.AddStandardMove(standardMove(south, 9, "2026-03-02")) }, store.ErrReference},
	"DecisionByID":    {func(tx *store.Tx) (any, error) { return errOnly(tx.DecisionByID(south, "x1")) }, store.ErrNotFound},
	"Decisions":       {func(tx *store.Tx) (any, error) { return tx.Decisions(south, store.DecisionFilter{}) }, nil},
	"SavePlan":        {func(tx *store.Tx) (any, error) { return nil, tx.SavePlan(plan(south, "p1", cara, "one", 1, start)) }, store.ErrDuplicate},
}

// noWall are the methods that touch no programme's data, or only the programme they are given as new data, or a person's own in all of
// their programmes.
var noWall = []string{
	"EndSignIns", "AddViewing", "AddMeeting", "AddStatementChoice", "DigestOf", "DigestByToken", "SaveDigest",
	"SealReport", "ReportsByCode", "Audit", "AuditAll", "LastChange", "SaveImportMapping", "CreateProgramme", "Programmes", "CreatePerson", "PersonByID", "PersonByEmail", "SetPassword", "Accounts", "Memberships",
	"CreateToken", "TokenByHash", "Tokens", "RevokeToken", "AddMembership", "AddStandard", "AddScopePolicy", "SaveIdempotencyKey", "OpenSittingsOf", "OpenQuizTestsOf",
	"InvitationByHash", "CreateRotation", "Deactivate", "Shut", "SaveCasePattern", "AddSettingsVersion", "CreateEdition", "CreateQuestion", "KeepQuestionVersion", "AddScenarioVersion", "KeepScenarioVersion", "AddOverride",
}

// without removes the items that may be there.
func without[T any](list []T, allowed func(T) bool) []T {
	var rest []T
	for _, item := range list {
		if !allowed(item) {
			rest = append(rest, item)
		}
	}
	return rest
}

// noCursor is an error for a cursor at the end of an empty list.
func noCursor(next string) error {
	if next != "" {
		return errors.New("a cursor to more")
	}
	return nil
}

func TestWallsAreComplete(t *testing.T) {
	known := map[string]bool{}
	for name := range walls {
		known[name] = true
	}
	for _, name := range noWall {
		known[name] = true
	}
	methods := reflect.TypeFor[*store.Tx]()
	for i := range methods.NumMethod() {
		if name := methods.Method(i).Name; !known[name] {
			t.Errorf("Tx.%s has no row in walls: try it with another programme's id", name)
		}
	}
}

// TestProgrammesAreWalls fills north and asks for all of it in the name of south.
func TestProgrammesAreWalls(t *testing.T) {
	storetest.Each(t, func(t *testing.T, s *store.Store) {
		populate(t, s)
		write(t, s, north, func(tx *store.Tx) error {
			_, err := addSigned(tx, north, "c1", ann, start)
			return errors.Join(err,
				tx.AddCaseAct(north, "c1", store.Done{Kind: "create", By: ann, At: start}),
				tx.SavePlan(plan(north, "p1", ann, "one", 1, start)),
				tx.CreateSitting(sitting(north, "t1", ann, "tested", start)),
				tx.CreateQuiz(quiz(north, "q1", ann, start)),
				tx.AddScopePolicy(scopePolicy(1, "2026-01-01")),
				tx.AddFollowUp(followUp(north, "f1", 3)),
				tx.SaveCaseKey(caseKey(north)),
				tx.CreateReport(store.Report{ID: "rep1", Programme: north, By: ann, Kind: store.MeetingPack, On: "2026-03-01", Total: 1, CreatedAt: start}),
				tx.CreateSimulation(store.Simulation{ID: "sim1", Programme: north, By: ann, Title: "t", Plan: []byte("{}"), Total: 1, CreatedAt: start}),
				tx.CreateImport(store.Import{ID: "im1", Programme: north, By: ann, FileHash: strings.Repeat("a", 64), Total: 1, Mapping: map[string]string{"site": "Place"}, CreatedAt: start}, []byte("[]")),
				tx.SaveImportMapping(north, columnsHash, map[string]string{"site": "Place"}, ann),
				addLive(tx, north, "own"), addAsked(tx, north, "own"), addJudged(tx, north), addDecided(tx, north), addTold(tx, north),
				tx.CreateInvitation(invitation(north, "i1", "new@example.org")),
				tx.CreateRotation(store.Rotation{ID: "r1", Programme: north, Person: ann, Site: "Main", From: "2026-01-01", CreatedBy: dan, CreatedAt: start}),
				tx.Deactivate(store.Deactivation{ID: "d1", Programme: north, Person: ben, By: dan, At: start}),
				tx.AddOverride(kept("o1", "name", start)),
				tx.AddStandard(store.Standard{Programme: north, Version: 1, InForceFrom: "2026-01-01", YAML: "x", CreatedBy: dan, CreatedAt: start}),
				tx.AddStandardMove(standardMove(north, 1, "2026-03-02")),
				tx.SaveIdempotencyKey(north, ann, "key", store.IdempotencyRow{Operation: "o", RequestHash: "h", ObjectID: "c1"}))
		})
		for name, wall := range walls {
			var got any
			err := s.Write(context.Background(), act(south), func(tx *store.Tx) (err error) {
				if got, err = wall.try(tx); err != nil {
					return err
				}
				return tx.Audit("test", "1", nil, nil)
			})
			switch {
			case wall.want != nil:
				wantErr(t, name, err, wall.want)
			case err != nil:
				t.Errorf("%s: %v", name, err)
			case !empty(reflect.ValueOf(got)):
				t.Errorf("%s of another programme = %+v, want nothing", name, got)
			}
		}
	})
}

// empty reports whether a value is zero, or a list or map without items.
func empty(value reflect.Value) bool {
	switch value.Kind() {
	case reflect.Invalid:
		return true
	case reflect.Slice, reflect.Map:
		return value.Len() == 0
	}
	return value.IsZero()
}
