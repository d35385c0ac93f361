// How deep a ring stands in its bore while its gap is read: said once for a station, kept on this tablet for the day. It goes with each reading.
const BARE = /^\d+([.,]\d+)?$/;
const UNIT = /[^\s\d.,]+$/;
const WHOLE = /^\d*[.,]?\d+\s*[^\s\d.,]+$/;
const today = () => new Date().toDateString();
const name = (book) => `bw-depths-${book}`;

function kept(book) {
  try {
    const told = JSON.parse(localStorage.getItem(name(book)) || "null");
    return told?.day === today() ? told.depths : {};
  } catch {
    return {};
  }
}

/** What was said today: pairs of a station's key and its depth. */
export const depthsSaid = (book) => Object.entries(kept(book));

export function keepDepth(book, station, depth) {
  try {
    localStorage.setItem(name(book), JSON.stringify({ day: today(), depths: { ...kept(book), [station]: depth } }));
  } catch {
    /* for this page only */
  }
}

/** A depth with its unit: a bare number has that of the depth that stood there before. `null` for what is no depth. */
export function depthWords(text, before) {
  const words = BARE.test(text) ? `${text} ${UNIT.exec(before)?.[0] || ""}`.trim() : text;
  return WHOLE.test(words) ? words : null;
}
