package assessment

import "sort"

// kind is what all findings of one code have in common: the part they belong to, how serious they are, why they matter and on whose word.
type kind struct {
	part     Part
	severity Severity
	why      string
	source   string
	evidence []Evidence
}

// Sources without a paper behind them say so.
const (
	commonPractice = "common practice, no source"
	fromMemory     = "common practice, no source; from memory"
)

// Codes lists every code a finding can have, in alphabetical order.
func Codes() []string {
	codes := make([]string, 0, len(kinds))
	for code := range kinds {
		codes = append(codes, code)
	}
	sort.Strings(codes)
	return codes
}

// deductionCodes are the entries a policy must price. Open circuits are priced by Closing; scope-further-below is a surcharge.
var deductionCodes = []string{
	"scope-at-minimum", "scope-below-minimum", "scope-further-below", "scope-beyond-need", "veins-alone-large-atrium",
	"ablation-not-indicated", "ablation-left-out", "reason-wrong",
	"gap", "unwanted-island", "sinus-to-av-broken",
	"thrombus-handled", "thrombus-left-in-place", "clot-cleared-late", "left-atrium-opened-before-arrest", "ring-on-vein",
	"posterior-wall-heat", "near-sinus-node", "sick-sinus-node-at-risk", "near-av-node", "near-sinus-node-artery",
	"near-circumflex-artery", "near-right-coronary-artery", "near-phrenic-nerve",
	"annular-end-without-cryo", "single-clamp-application", "needs-open-atrium", "unipolar-off-pump", "energy-not-named",
	"steps-not-given", "step-missing", "arrest-too-late", "lines-after-valve", "wires-too-early", "block-tested-too-early", "closure-checked-too-early",
	"block-not-tested", "block-tested-one-way", "appendage-left", "appendage-method-unnamed", "appendage-method-weak",
	"appendage-closure-not-checked", "monitoring-short", "anticoagulation-short", "anticoagulation-stopped",
	"pacing-wires-not-said", "pacing-wires-none", "pacing-wires-few",
	"told-nothing", "told-too-hopeful", "told-too-gloomy", "told-too-wide",
}

// kinds holds every finding there is. Figures name their source; what rests on habit or memory says so and takes few points.
var kinds = map[string]kind{
	// Scope. The evidence for and against comes from the policy's row.
	"scope-on-target":     {PartScope, Remark, "The lines do what the policy asks for in this patient.", "the scope policy", nil},
	"scope-accepted":      {PartScope, Remark, "Faculty or the policy accept this scope here as well as the target.", "the scope policy", nil},
	"scope-at-minimum":    {PartScope, Major, "It is acceptable, but leaves out what the policy's target adds; a plan that stops here is B or B+ work.", commonPractice, nil},
	"scope-below-minimum": {PartScope, Major, "It is less than the policy accepts for this patient.", "the scope policy", nil},
	"scope-beyond-need": {PartScope, Remark, "More lines cost time and raise the chance of a pacemaker without a gain the policy counts on here.",
		"Cappabianca 2019, 10.1111/jce.14117: biatrial against left atrial, pacemaker OR 1.85 (1.38 to 2.49), reopening for bleeding OR 1.70 (1.05 to 2.75)", nil},
	"ablation-not-indicated": {PartScope, Major, "The policy asks for no ablation in this patient: the risk is taken for nothing.", "the scope policy", nil},
	"ablation-unsafe":        {PartScope, Critical, "In this patient ablation itself is the hazard.", fromMemory, nil},
	"ablation-left-out":      {PartScope, Major, "This patient has AF that the policy says to treat in the same operation.", "STS 2023, PMID 38286206: ablation for all AF patients at first-time non-emergent surgery", nil},
	"no-ablation-on-target":  {PartScope, Remark, "Leaving the atria alone is what the policy asks for in this patient.", "the scope policy", nil},
	"no-ablation-accepted":   {PartScope, Remark, "Here declining is as defensible as a full set.", "the scope policy", nil},
	"reason-wrong":           {PartScope, Major, "The decision is right, the reason given is not: with another patient the same reasoning would go wrong.", "the scope policy", nil},
	"veins-alone-large-atrium": {PartScope, Major, "Vein isolation alone is not recommended when the left atrium is 45 mm or more or mitral regurgitation is more than moderate (class III, no benefit).",
		"STS 2017, 10.1016/j.athoracsur.2016.10.076", nil},

	// Completeness: what the target scope should have closed.
	"vein-not-isolated": {PartCompleteness, Major, "A vein that still conducts can go on triggering AF.", "Haissaguerre 1998, 10.1056/NEJM199809033391003: 65 of 69 triggers in the veins", nil},
	"posterior-wall-connected": {PartCompleteness, Major, "Three sides isolate nothing: the wall stays connected and a wave can go round a vein pair over the roof.",
		"Saint 2012, 10.1016/j.athoracsur.2011.12.028; the logic of circuits", []Evidence{
			{true, "Box against a single connecting line: early atrial tachycardia 37 against 71 %, free from AF at 3 months 96 against 85 %.", "Voeller 2008, JTCVS, 137 patients (as reported)"},
			{false, "Box against a U-shaped set did not differ: OR 0.50 (0.21 to 1.15).", "Nitta 2025, PMID 40061540 (as cited)"}}},
	"perimitral-circuit": {PartCompleteness, Major, "A wave can go round the mitral annulus: the line must reach the annulus and an isolated ring or box, across the coronary sinus as well.",
		"Nitta 2025, PMID 40061540 (as cited): 5 of 24 re-entries through the mitral isthmus", nil},
	"coronary-sinus-left": {PartCompleteness, Major, "The muscle of the coronary sinus bridges the mitral line outside the endocardium, so the circuit round the mitral annulus is not closed.",
		"Nitta 2025, PMID 40061540 (as cited): the coronary sinus held 16 of 24 gaps (66.7 %)", []Evidence{
			{true, "Adding a coronary sinus lesion lowered atrial tachycardia from 14 to 3 %: adjusted OR 0.21 (0.06 to 0.82).", "Nitta 2025, PMID 40061540 (as cited)"},
			{false, "The paper's discussion gives 5 % where its results give 3 %.", "Nitta 2025, PMID 40061540 (as cited)"}}},
	"appendage-stump-circuit": {PartCompleteness, Minor, "A closed appendage is an obstacle: without a line to the veins a wave can go round its stump.", "the logic of circuits; " + commonPractice, nil},
	"tricuspid-circuit": {PartCompleteness, Major, "A wave can go round the tricuspid annulus: typical flutter. A line from the annulus to a vena cava closes it.",
		"the logic of circuits; 2005, PMID 15620925: flutter in 6 of 50 after a left-sided set, 1 of 5 studied dependent on the cavotricuspid isthmus", nil},
	"caval-circuit": {PartCompleteness, Major, "A wave can go round the venae cavae: nothing joins them to another boundary.", "the logic of circuits; " + commonPractice, nil},
	"free-wall-uncut": {PartCompleteness, Minor, "The right atrial free wall keeps its width: an isthmus line closes the tricuspid circuit, but leaves the substrate that a line between the cavae and across the free wall divides.",
		commonPractice, nil},
	"gap":             {PartCompleteness, Major, "A line protects only when both of its ends touch something that does not conduct; a free end lengthens and steadies a circuit.", "the logic of circuits; gaps conduct from about 1.4 mm: Ranjan 2011, 10.1161/CIRCEP.110.960567", nil},
	"unwanted-island": {PartCompleteness, Major, "Tissue outside the veins, the box and the appendage no longer follows the sinus node and cannot pump with it.", "the logic of circuits; " + commonPractice, nil},
	"sinus-to-av-broken": {PartCompleteness, Critical, "The sinus node no longer reaches the AV node: the ventricles would need a pacemaker from the first beat.",
		"the logic of circuits: one entrance, one exit, one way through", nil},

	// Safety.
	"thrombus-handled":       {PartSafety, Critical, "Clot in the appendage can be pushed out and go to the brain: clamp first, open the left atrium, clear the clot, and only then touch the appendage.", fromMemory, nil},
	"thrombus-left-in-place": {PartSafety, Critical, "Clamps and probes go on the left atrium while there is clot in it: clear it first.", fromMemory, nil},
	"posterior-wall-heat":    {PartSafety, Major, "The oesophagus lies directly behind: unipolar heat from inside has burnt through to it. A clamp or cryo is kinder there.", fromMemory, nil},
	"near-sinus-node": {PartSafety, Major, "The sinus node lies at the side of the junction of superior vena cava and right atrium: keep the line behind it.",
		"Anderson (indexed abstract): at the side of the junction in 22 of 25 infant hearts", nil},
	"sick-sinus-node-at-risk": {PartSafety, Major, "What is left of its function can go with the line, and a pacemaker then is all but certain.", "Cappabianca 2019, 10.1111/jce.14117 (what was paced for)", []Evidence{
		{true, "Among those who needed a pacemaker, sinus node dysfunction after biatrial against left atrial sets: OR 3.01 (1.49 to 6.07).", "Cappabianca 2019, 10.1111/jce.14117"}}},
	"near-av-node":           {PartSafety, Major, "The AV node and its artery lie here: a burn can mean heart block.", "the place of the node: " + commonPractice, nil},
	"near-sinus-node-artery": {PartSafety, Remark, "The artery of the sinus node varies: it comes from the right coronary in 68 % and runs behind the superior vena cava in 47 %. Look before you burn.", "Vikse 2016, PMID 26849441", nil},
	"near-circumflex-artery": {PartSafety, Major, "The circumflex artery lies between coronary sinus and mitral annulus in 80 %: heat can narrow it. Freeze there, on a still heart, and look.", "Choure 2006, PMID 17112981 (anatomy)", []Evidence{
		{false, "Cold is not free of risk: late narrowing of the circumflex after it was thought worth a search of its own.", "Cheema 2013, 10.1097/IMI.0b013e31828e5267 (existence only)"}}},
	"near-right-coronary-artery":       {PartSafety, Minor, "The right coronary artery runs in the groove outside the tricuspid annulus: heat can narrow it. Freeze there.", fromMemory, nil},
	"near-phrenic-nerve":               {PartSafety, Minor, "The phrenic nerve lies on the pericardium outside: lift it away, or the diaphragm stands still.", "Europace 2019, PMID 30753411: 2 of 30 injured in one centre's first thoracoscopic cases", nil},
	"clot-cleared-late":                {PartSafety, Critical, "Whatever touches the left atrium or its appendage before the clot is out can push it out: clamp, open, clear, and only then go on.", fromMemory, nil},
	"left-atrium-opened-before-arrest": {PartSafety, Major, "A left atrium opened in a beating, ejecting heart lets air into the arteries: clamp and arrest first.", fromMemory, nil},
	"ring-on-vein":                     {PartSafety, Minor, "On the vein itself a ring narrows it and leaves the antrum connected: place it on the atrial cuff.", fromMemory, nil},

	// Energy and delivery.
	"annular-end-without-cryo": {PartDelivery, Major, "A clamp cannot close on the last stretch to the annulus, and fat there blocks radiofrequency: 92 % of incomplete sections lay under fat. Freeze the annular end.",
		"PMC7669627 (incomplete sections); technique: " + fromMemory, nil},
	"single-clamp-application": {PartDelivery, Minor, "After a single application of the clamp 65 % of lesions went through the wall (42 of 65), after two without unclamping 100 % (25 of 25).", "PMC7669627", nil},
	"needs-open-atrium":        {PartDelivery, Major, "This lesion needs an opened atrium on bypass, and in this operation the left atrium stays closed: it would not be delivered, so it counts as not made.", fromMemory, nil},
	"opens-left-atrium":        {PartDelivery, Remark, "The target scope means opening the left atrium though the main operation does not.", commonPractice, nil},
	"unipolar-off-pump":        {PartDelivery, Minor, "From outside on a beating heart one-sided radiofrequency went through in 76 % of sections, and 1 of 12 lines was complete (swine).", "PMC3966079", nil},
	"energy-not-named":         {PartDelivery, Minor, "Whether a lesion goes through the wall depends on its energy: name it.", commonPractice, nil},

	// The order of steps. Only pairs that can be defended are judged; most of an operation can be done in more than one order.
	"steps-not-given":   {PartDelivery, Major, "A plan that cannot be told step by step cannot be carried out.", commonPractice, nil},
	"step-missing":      {PartDelivery, Minor, "What the plan asks for has its place in the operation.", commonPractice, nil},
	"step-for-nothing":  {PartDelivery, Remark, "Steps and plan should say the same.", commonPractice, nil},
	"arrest-too-late":   {PartDelivery, Minor, "A valve is seen and sewn on a still heart.", commonPractice, nil},
	"lines-after-valve": {PartDelivery, Minor, "Once a ring or a prosthesis sits in the mitral annulus, the end of the line there is out of sight and out of reach: lines first.", commonPractice, nil},
	"wires-too-early":   {PartDelivery, Minor, "Wires are sewn on last: lifting and opening the heart afterwards pulls them off, and only then is it clear where it still can be paced.", commonPractice, nil},

	// Verification and aftercare.
	"block-tested-too-early": {PartAftercare, Major, "Before the veins are isolated there is nothing to test, and afterwards nobody knows.",
		"Nitta 2025, PMID 40061540 (as cited): 11 of 211 clamp isolations (5.2 %) had not blocked when tested", nil},
	"closure-checked-too-early": {PartAftercare, Minor, "Only a closed appendage can be seen to be closed: failure is flow or a stump beyond 1 cm.", "Kanderian 2008, JACC", nil},
	"block-not-tested": {PartAftercare, Major, "Of clamp isolations that were tested 11 of 211 (5.2 %) had not blocked, and only a test finds them.",
		"Nitta 2025, PMID 40061540 (as cited)", []Evidence{{true, "AF came back in 9 % of tested against 18 % of untested patients: OR 0.32 (0.13 to 0.71).", "Nitta 2025, PMID 40061540 (as cited)"}}},
	"block-tested-one-way": {PartAftercare, Minor, "Entrance and exit block answer different questions.", "2013, 10.1093/europace/eus353; 2002, PMID 12435181", []Evidence{
		{false, "After proven entrance block 1 of 171 veins (0.6 %) still conducted outward.", "2013, 10.1093/europace/eus353"},
		{true, "An older series found exit block in only 58 % (38 of 66) after entrance block.", "2002, PMID 12435181"}}},
	"retest-after-20-minutes": {PartAftercare, Remark, "Block can be lost again within minutes: 11 % recovered within 20 minutes. Test again before closing, at an output that captures the vein alone.",
		"2002, PMID 12435181; 2012, 10.1016/j.hrthm.2012.06.004", nil},
	"appendage-left": {PartAftercare, Major, "Closing the left appendage at surgery is recommended in AF (class I) and lowers stroke on top of anticoagulation.", "STS 2023, PMID 38286206",
		[]Evidence{{true, "Stroke or embolism 4.8 against 7.0 %: HR 0.67 (0.53 to 0.85), 2.2 points.", "Whitlock 2021, NEJM 384:2081"}}},
	"appendage-rightly-left":        {PartAftercare, Remark, "With clot inside and no way to clear it, hands off the appendage.", fromMemory, nil},
	"appendage-method-unnamed":      {PartAftercare, Minor, "How it is closed decides whether it stays closed: name the method.", "Kanderian 2008, JACC", nil},
	"appendage-method-weak":         {PartAftercare, Minor, "Excision closed 73 % of appendages, suture from inside 23 %, stapling 0 %.", "Kanderian 2008, JACC (137 patients)", nil},
	"appendage-closure-not-checked": {PartAftercare, Minor, "Closure failed in 60 % (82 of 137) overall; failure is flow or a stump beyond 1 cm, and 41 % of failed ones held clot. Look with echo.", "Kanderian 2008, JACC", nil},
	"monitoring-short":              {PartAftercare, Major, "Without at least 24 hours of recording at 3, 6 and 12 months silent AF passes for success.", "Lee 2010, Innovations 5:281, PMC2967773", nil},
	"anticoagulation-short":         {PartAftercare, Minor, "At least 3 months of anticoagulation after surgical ablation (class 2a).", "ACC/AHA/ACCP/HRS 2023 (as quoted)", nil},
	"anticoagulation-stopped": {PartAftercare, Major, "After the first months stroke risk decides, whatever the rhythm and whatever was done with the appendage.", "ESC 2024 (from memory)",
		[]Evidence{{true, "13 of 18 late strokes hit patients who were still free from AF.", "Pyo 2025, PMID 39481591 (as cited)"}}},

	// Pacing wires, and what the patient is told. The figures come from the policy.
	"pacing-wires-not-said": {PartAftercare, Minor, "Which wires are left is decided before the chest is closed: say it.", commonPractice, nil},
	"pacing-wires-none": {PartAftercare, Major, "A slow sinus node or a block shows in the first days, when nothing else can pace.",
		"DeRose 2019, 10.1016/j.jacc.2019.02.062: pacemaker within a year 7.7 % without ablation, 16.1 % after veins, 25 % after a biatrial set", nil},
	"pacing-wires-few": {PartAftercare, Minor, "After ablation the node may be slow and conduction late: pacing the atrium keeps its kick, pacing the ventricle keeps the patient.",
		"DeRose 2019, 10.1016/j.jacc.2019.02.062 (how often a pacemaker follows); which wires: " + commonPractice, nil},
	"pacing-wire-needless": {PartAftercare, Remark, "A fibrillating atrium cannot be paced.", commonPractice, nil},
	"told-fair":            {PartAftercare, Remark, "It is what published figures allow, with room for not knowing.", "the policy's figures", nil},
	"told-nothing":         {PartAftercare, Major, "Nobody can agree to a chance and a risk that were not named.", commonPractice, nil},
	"told-too-hopeful":     {PartAftercare, Major, "It promises more than published results: what the best series had, in rhythm kept or pacemakers spared, is not what to expect of every operation.", "the policy's figures", nil},
	"told-too-gloomy":      {PartAftercare, Minor, "It is darker than published results: a chance withheld is a choice taken away.", "the policy's figures", nil},
	"told-too-wide":        {PartAftercare, Minor, "An interval that leaves everything open helps nobody to decide.", commonPractice, nil},
}
