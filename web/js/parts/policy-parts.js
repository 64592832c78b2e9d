// A scope policy in its parts, to read or to write.
import { html } from "../lib/html.js";
import { Tabs } from "./tabs.js";
import { PolicyFindings, PolicyGrade } from "./policy-grade.js";
import { PolicyLimits, PolicyTold } from "./policy-limits.js";
import { PolicyRows } from "./policy-rows.js";

const tabs = [{ id: "rows", name: "Rows" }, { id: "grade", name: "Weights, letters, caps" }, { id: "findings", name: "Findings" }, { id: "hazards", name: "Hazards and wavelength" }, { id: "told", name: "What is told" }];

/** @param {import("./policy-rows.js").Part & {tab: string, onTab: (tab: string) => void, more?: {id: string, name: string}[], children?: unknown}} props more, children: a part besides */
export const PolicyParts = ({ tab, onTab, more = [], children, ...part }) => html`<${Tabs} label="Parts of the policy" tabs=${[...tabs, ...more]} value=${tab} onValue=${onTab}>
  ${tab === "rows" && html`<${PolicyRows} ...${part} />`}
  ${tab === "grade" && html`<${PolicyGrade} ...${part} />`}
  ${tab === "findings" && html`<${PolicyFindings} ...${part} />`}
  ${tab === "hazards" && html`<${PolicyLimits} ...${part} />`}
  ${tab === "told" && html`<${PolicyTold} ...${part} />`}
  ${children}
<//>`;
