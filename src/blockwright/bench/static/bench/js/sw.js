// The service worker: files of the bench from the tablet, the measuring page from the bench and, where it is out of reach, from the tablet.
// It answers GET only; what is entered goes through the outbox. FILES and its mark are written in by the bench.
const FILES = [
/* FILES */];
const SHELF = "bench-files-FILES_MARK";
const PAGES = "bench-pages-1";
const PATIENCE_MS = 2500;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(SHELF)
      .then((shelf) => shelf.addAll(FILES.map((file) => new Request(file, { cache: "reload" }))))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  const old = (name) => name.startsWith("bench-files-") && name !== SHELF;
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter(old).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

self.addEventListener("message", (event) => {
  if (event.data?.keep) event.waitUntil(Promise.all(event.data.keep.map(keep)));
});

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (url.origin !== location.origin) return;
  if (url.pathname === "/out/") event.waitUntil(caches.delete(PAGES)); // who signs out leaves no pages behind
  if (request.method !== "GET") return;
  if (url.pathname.startsWith("/static/")) event.respondWith(fromShelf(request));
  else if (working(url)) event.respondWith(page(request, working(url)));
  else if (url.pathname.endsWith("/measure-sketches/")) event.respondWith(page(request, url.pathname));
  else if (request.mode === "navigate") event.respondWith(fetch(request).catch(nobody));
});

/** The address that a page for work is kept under: the measuring page of a book under one, whichever spot is asked for, a ring's under its own. */
const working = (url) => /^\/e\/[\w-]+\/(?:measure\/|rings\/\d+\/[\w-]+\/)/.exec(url.pathname)?.[0] || "";

async function fromShelf(request) {
  const shelf = await caches.open(SHELF);
  return (await shelf.match(request, { ignoreSearch: true })) || fetch(request);
}

/** From the bench where it answers soon, else as it was kept. */
async function page(request, kept) {
  const pages = await caches.open(PAGES);
  const held = await pages.match(kept);
  const asked = fetch(request).then(async (answer) => {
    if (answer.ok && !answer.redirected) await pages.put(kept, answer.clone());
    return answer;
  });
  if (!held) return asked.catch(nobody);
  const late = new Promise((resolve) => setTimeout(resolve, PATIENCE_MS, held));
  return Promise.race([asked.then((answer) => (answer.status >= 500 ? held : answer)).catch(() => held), late]);
}

async function keep(address) {
  const answer = await fetch(address, { credentials: "same-origin" }).catch(() => null);
  if (answer?.ok && !answer.redirected) await (await caches.open(PAGES)).put(address, answer);
}

/** The pages for work that are kept here, those for measuring first, each by its own title: what is in it was made safe by the bench. */
async function keptPages() {
  const pages = await caches.open(PAGES);
  const kept = (await pages.keys()).map((each) => new URL(each.url).pathname).filter((path) => working({ pathname: path }) === path);
  const named = kept.map(async (path) => {
    const title = /<title>([^<]*)<\/title>/.exec(await (await pages.match(path)).text())?.[1] || "";
    return { path, words: path.endsWith("/measure/") ? `Go on measuring${title.replace(/^Measure/, "")}` : `Go on filing: ${title}` };
  });
  return (await Promise.all(named)).sort((one, other) => other.path.endsWith("/measure/") - one.path.endsWith("/measure/") || one.path.localeCompare(other.path, "en", { numeric: true }));
}

async function nobody() {
  const ways = (await keptPages()).map(({ path, words }, index) => `<p><a class="button${index ? "" : " main"}" href="${path}">${words}</a></p>`).join("");
  const said = `<!doctype html><html lang="en"><meta charset="utf-8"><meta name="viewport" content="width=device-width"><title>The bench is out of reach</title><link rel="stylesheet" href="/static/bench/bench.css"><main class="one"><div class="say plain"><span class="sign" aria-hidden="true"></span><div class="words"><h1>The bench is out of reach</h1><p>Nothing that was entered is lost: it waits on this tablet and is sent when the bench answers again.</p></div></div>${ways}</main></html>`;
  return new Response(said, { status: 503, headers: { "Content-Type": "text/html; charset=utf-8", "Content-Security-Policy": "default-src 'self'" } });
}
