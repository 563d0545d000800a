// One more photo of what the card is about: it goes into the outbox, and the face shows it when it has landed.
import { newId, put } from '../intake/outbox.js';

const form = document.querySelector('[data-add-photo]');
const said = form?.querySelector('[data-photo-said]');
const made = new Set();

async function show() {
  const text = await fetch(location.href, { cache: 'no-store' }).then((r) => (r.ok ? r.text() : '')).catch(() => '');
  const fresh = new DOMParser().parseFromString(text, 'text/html').querySelector('[data-photos]');
  if (fresh) document.querySelector('[data-photos]').replaceChildren(...fresh.childNodes);
}

if (form) {
  form.querySelector('[data-plain]').hidden = true;
  form.elements.photo.addEventListener('change', async ({ target }) => {
    const { build, subject } = form.dataset;
    for (const file of [...target.files]) {
      const entry = await put({ type: 'form', form: 'capture', build, subject, item: newId(), fields: [] }, file);
      made.add(entry.id);
      said.textContent = 'Kept on this phone';
    }
    target.value = '';
  });
  document.addEventListener('outbox', ({ detail: { entry, answer } }) => {
    if (!made.has(entry.id)) return;
    said.textContent = answer.problem ? `Not taken: ${answer.problem}` : answer.quarantined ?? 'Photo added';
    if (!answer.problem) show();
  });
}

// What was typed on the card is there again after a look at the photo.
const KEY = `typed ${location.pathname}`;
const typed = () => [...document.querySelectorAll('main :is(input:not([type="hidden"], [type="file"]), select, textarea, details)')];
const named = (each) => each.name ?? each.className;
const told = (each) => ('open' in each ? each.open : ['checkbox', 'radio'].includes(each.type) ? each.checked : each.value);

function restore(kept) {
  const now = typed();
  if (kept.length !== now.length || kept.some(([name], i) => name !== named(now[i]))) return;
  kept.forEach(([, value], i) => {
    if ('open' in now[i]) now[i].open = value;
    else if (['checkbox', 'radio'].includes(now[i].type)) now[i].checked = value;
    else now[i].value = value;
  });
}

document.querySelector('[data-photos]').addEventListener('click', () => {
  sessionStorage.setItem(KEY, JSON.stringify(typed().map((each) => [named(each), told(each)])));
});
addEventListener('pageshow', () => {
  const kept = sessionStorage.getItem(KEY);
  sessionStorage.removeItem(KEY);
  if (kept) restore(JSON.parse(kept));
});
