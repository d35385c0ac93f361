// The one door: every act of a page goes through `act`. A key makes it safe to send the same act again.
export const newKey = () => {
  const signs = crypto.getRandomValues(new Uint8Array(12));
  return "p-" + Array.from(signs, (sign) => sign.toString(16).padStart(2, "0")).join("");
};

export const book = () => document.body.dataset.book || "";
export const csrf = () => document.querySelector("meta[name=csrf]")?.content || "";

/** The time here with its zone, to the second. */
export function here(date = new Date()) {
  const two = (n) => String(Math.floor(Math.abs(n))).padStart(2, "0");
  const east = -date.getTimezoneOffset();
  const local = new Date(date.getTime() + east * 60000).toISOString().slice(0, 19);
  return `${local}${east < 0 ? "-" : "+"}${two(east / 60)}:${two(Math.abs(east) % 60)}`;
}

let asking = null;

/** Whether hands are changed on the page itself: a shop's bench. */
export const handsChange = () => document.querySelector("a[data-hands]") !== null;

/** Nobody is signed in any more: one is asked who he is, once, however much was refused. Resolves to whether hands were changed. */
export function askWho(how) {
  asking ??= import("./hands.js").then(({ askHands }) => askHands(how)).finally(() => (asking = null));
  return asking;
}

/** Send; where nobody is signed in any more one is asked who he is, and it is sent again. */
export async function asSomebody(send) {
  const answer = await send();
  return answer.status === 401 && (await askWho()) ? send() : answer;
}

/** Send an act, with its key, so that it is kept once however often it is sent. */
export const sendAct = (address, body) =>
  asSomebody(() =>
    fetch(address, {
      method: "POST",
      credentials: "same-origin",
      headers: { "Content-Type": "application/json", Accept: "application/json", "X-CSRFToken": csrf() },
      body: JSON.stringify(body),
    }),
  );

/** Keep an act. Resolves to {kept, status, told}: `told` is the answer, or the problem with its `problems`. Throws only where nobody answers. */
export async function act(kind, words, { key = newKey(), at = here(), slug = book() } = {}) {
  const answer = await sendAct(`/e/${slug}/acts/`, { kind, words, key, at });
  const told = await answer.json().catch(() => ({ title: "The bench did not answer in words.", problems: [] }));
  return { kept: answer.ok, status: answer.status, told, key };
}
