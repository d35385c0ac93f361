// Going on without the bench: the service worker keeps the page and its files on the tablet. Where the browser allows none, that is said plainly.
/** `pages`: the addresses to keep; `say` is told in words where none can be. */
export async function keepOnTablet(say, pages) {
  if (!("serviceWorker" in navigator)) {
    say(window.isSecureContext ? "This browser keeps no pages: do not reload while the bench is out of reach." : "To open this page while the bench is out of reach, the tablet needs the shop's certificate (HTTPS). What you enter is kept here all the same.");
    return;
  }
  try {
    await navigator.serviceWorker.register("/sw.js", { scope: "/", updateViaCache: "none" });
    const worker = (await navigator.serviceWorker.ready).active;
    worker.postMessage({ keep: pages });
    navigator.storage?.persist?.().catch(() => {});
  } catch {
    say("This page could not be kept on the tablet: do not reload while the bench is out of reach.");
  }
}
