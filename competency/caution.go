package competency

// Caution goes wherever a standing is shown.
const Caution = "For education. Not advice on a patient. Local policy and licensed practice decide."
