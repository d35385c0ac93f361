// The clocks of the route count down by the time since the page was made, whatever the tablet's own clock says.
const ends = new WeakMap();

function tick() {
  for (const each of document.querySelectorAll("[data-left]")) {
    if (!ends.has(each)) ends.set(each, performance.now() + Number(each.dataset.left) * 1000);
    const left = Math.round((ends.get(each) - performance.now()) / 1000);
    const words = left < 0 ? `ran out ${clock(-left)} ago` : `${clock(left)} left`;
    if (each.textContent !== words) each.textContent = words;
  }
}

function clock(seconds) {
  const two = (n) => String(n).padStart(2, "0");
  const hours = Math.floor(seconds / 3600);
  return `${hours ? `${hours}:${two(Math.floor((seconds % 3600) / 60))}` : Math.floor(seconds / 60)}:${two(seconds % 60)}`;
}

tick();
setInterval(tick, 1000);
