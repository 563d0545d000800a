// What a line changes elsewhere: the page is fetched anew, and its counts, tape and rows take the place of the old.
const PAUSE = 500;  // ms: lines that land together ask once
const ALWAYS = ['.head-count', '.tape'];
let due = 0;

async function follow() {
  const text = await fetch(location.href, { cache: 'no-store' }).then((r) => (r.ok ? r.text() : '')).catch(() => '');
  const page = new DOMParser().parseFromString(text, 'text/html');
  const own = [...document.querySelectorAll('[data-follows]')].map((each) => `[data-follows="${each.dataset.follows}"]`);
  for (const part of [...ALWAYS, ...own]) {
    const [shown, fresh] = [document.querySelector(part), page.querySelector(part)];
    if (!fresh || !shown || shown.contains(document.activeElement)) continue;
    if (shown.outerHTML !== fresh.outerHTML) shown.replaceWith(fresh);
  }
}

document.addEventListener('outbox', ({ detail: { answer } }) => {
  if (answer.problem) return;
  clearTimeout(due);
  due = setTimeout(follow, PAUSE);
});
