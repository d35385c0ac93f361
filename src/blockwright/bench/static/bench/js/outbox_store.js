// Where entries lie on this tablet until the bench has them: one IndexedDB, which outlives a reload and a dead battery.
// An entry: {seq, key, book, kind, words, at, by, spot, label, of, held, problem, answer}. held: waiting, refused, kept (the bench has it).
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

/** Put an entry; resolves when the disk has it, to its number in the order of entries. */
export const put = (entry) => within("entries", "readwrite", (store) => store.put(entry));
export const strike = (seq) => within("entries", "readwrite", (store) => store.delete(seq));
export const all = () => within("entries", "readonly", (store) => store.getAll());
export const keepPlan = (known) => within("plans", "readwrite", (store) => store.put(known));
export const keptPlan = (book) => within("plans", "readonly", (store) => store.get(book));
