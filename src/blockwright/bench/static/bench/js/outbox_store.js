// Where entries lie on this tablet until the bench has them: one IndexedDB, which outlives a reload and a dead battery.
// An entry: {seq, key, book, kind, words, at, by, spot, label, page, of, held, problem, answer}. page: where it was entered, if a spot does not say so. held: waiting, refused, kept (the bench has it).
const NAME = "blockwright-bench";
let opened = null;

function open() {
  opened ??= new Promise((resolve, reject) => {
    const asked = indexedDB.open(NAME, 1);
    asked.onupgradeneeded = () => {
      const entries = asked.result.createObjectStore("entries", { keyPath: "seq", autoIncrement: true });
      entries.createIndex("key", "key", { unique: true });
      asked.result.createObjectStore("plans", { keyPath: "book" });
    };
    asked.onsuccess = () => {
      asked.result.onversionchange = () => asked.result.close();
      resolve(asked.result);
    };
    asked.onerror = () => reject(asked.error);
  });
  return opened;
}

async function within(store, mode, use) {
  const database = await open();
  return new Promise((resolve, reject) => {
    const transaction = database.transaction(store, mode, { durability: "strict" });
    let result;
    transaction.oncomplete = () => resolve(result);
    transaction.onerror = transaction.onabort = () => reject(transaction.error);
    const asked = use(transaction.objectStore(store));
    asked.onsuccess = () => (result = asked.result);
  });
}

/** Put an entry; resolves when the disk has it, to its number in the order of entries. A new one is jotted down at once, without waiting. */
export async function put(entry) {
  if (entry.seq) return within("entries", "readwrite", (store) => store.put(entry));
  jot(entry);
  try {
    return await within("entries", "readwrite", (store) => store.put(entry));
  } finally {
    strikeJot(entry.key);
  }
}

export const strike = (seq) => within("entries", "readwrite", (store) => store.delete(seq));
export const all = () => within("entries", "readonly", (store) => store.getAll());
export const keepPlan = (known) => within("plans", "readwrite", (store) => store.put(known));
export const keptPlan = (book) => within("plans", "readonly", (store) => store.get(book));

// The database answers a moment later; a page that is reloaded in that moment would lose what it was handed. So an entry is jotted down first, where
// writing does not wait, and the next page of this tab takes it up. What another tab jotted is left to it for a while.
const JOT = "blockwright-jot:";
const LEFT_TO_OTHERS_MS = 5000;

function tab() {
  sessionStorage.blockwrightTab ??= crypto.randomUUID?.() || String(Math.random());
  return sessionStorage.blockwrightTab;
}

function jot(entry) {
  try {
    localStorage.setItem(JOT + entry.key, JSON.stringify({ entry, tab: tab(), since: Date.now() }));
  } catch {
    // no room, or not allowed: the database alone keeps it
  }
}

function strikeJot(key) {
  try {
    localStorage.removeItem(JOT + key);
  } catch {
    // as above
  }
}

/** Entries that were jotted down and never reached the database go into it, in the order in which they were made. */
export async function takeUp() {
  let jotted = [];
  try {
    jotted = Object.keys(localStorage).filter((name) => name.startsWith(JOT)).map((name) => JSON.parse(localStorage[name]));
    jotted = jotted.filter(({ tab: from, since }) => from === tab() || Date.now() - since > LEFT_TO_OTHERS_MS);
  } catch {
    return;
  }
  for (const { entry } of jotted.sort((one, other) => one.since - other.since)) {
    const held = await within("entries", "readonly", (store) => store.index("key").getKey(entry.key));
    if (held === undefined) await within("entries", "readwrite", (store) => store.put(entry)).catch(() => {});
    strikeJot(entry.key);
  }
}
