// Signing in; the path to return to is kept.
import { useState } from "preact/hooks";
import { html } from "../lib/html.js";
import { ApiProblem, inWords, waitWords } from "../lib/problem.js";
import { signIn } from "../lib/session.js";
import { TextField } from "../parts/field.js";
import { Page } from "../parts/page.js";

export function SignInPage() {
  const [email, setEmail] = useState("");
  const [password, setPassword] = useState("");
  const [busy, setBusy] = useState(false);
  const [refusal, setRefusal] = useState("");
  const submit = async (/** @type {Event} */ event) => {
    event.preventDefault();
    if (!email.trim() || !password) return setRefusal("Give your email address and your password.");
    setBusy(true);
    setRefusal("");
    try {
      return await signIn(email.trim(), password); // being signed in leads on: main.js goes where the address was
    } catch (error) {
      setBusy(false);
      return setRefusal(refusalWords(error));
    }
  };
  return html`<${Page} title="Sign in" kind="plain">
    <p>Isthmus trains the surgical treatment of atrial fibrillation and keeps the record of it.</p>
    <form class="narrow-form" novalidate onSubmit=${submit}>
      ${refusal && html`<p class="fault-summary" role="alert">${refusal}</p>`}
      <${TextField} label="Email" name="email" type="email" autocomplete="username" value=${email} onValue=${setEmail} required=${true} />
      <${TextField} label="Password" name="password" type="password" autocomplete="current-password" value=${password} onValue=${setPassword} required=${true} />
      <button type="submit" class="main-act" disabled=${busy}>Sign in</button>
    </form>
    <p class="small">No account, or the password is forgotten? Your programme's coordinator can help.</p>
  <//>`;
}

/** @param {unknown} error */
function refusalWords(error) {
  if (error instanceof ApiProblem && error.status === 401) return "Email or password is wrong.";
  if (error instanceof ApiProblem && error.status === 422) return "Give your email address and your password.";
  if (error instanceof ApiProblem && error.status === 429) return `Too many attempts. ${waitWords(error.retryAfter)}`;
  const { title, next } = inWords(error);
  return `${title}. ${next}`;
}
