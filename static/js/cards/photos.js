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
