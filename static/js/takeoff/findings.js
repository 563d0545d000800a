// Something wrong with an item: the photo goes into the outbox, and the finding exists.
import { fieldsOf, newId, put } from '../intake/outbox.js';

const form = document.querySelector('[data-finding]');
const landed = document.querySelector('[data-landed]');
const made = new Set();

async function raise(photo) {
  const { build, about } = form.dataset;
  const entry = await put({ type: 'form', form: 'finding', build, item: newId(), about, fields: fieldsOf(form) }, photo);
  made.add(entry.id);
  landed.textContent = 'Kept on this phone';
  form.elements.what.value = '';
}

document.querySelector('[data-photo]').addEventListener('change', async ({ target }) => {
  for (const file of [...target.files]) await raise(file);
  target.value = '';
});

form.addEventListener('submit', (event) => {
  event.preventDefault();
  raise(null);
});

document.addEventListener('outbox', ({ detail: { entry, answer } }) => {
  if (!made.has(entry.id)) return;
  const found = answer.found?.[0];
  if (!found) { landed.textContent = answer.quarantined ?? `Not taken: ${answer.problem}`; return; }
  const link = Object.assign(document.createElement('a'), { className: 'row-in', href: form.dataset.card + found.subject.split(':')[1], textContent: `#${found.number} ${found.name}` });
  const row = Object.assign(document.createElement('li'), { className: 'row' });
  row.append(link);
  document.querySelector('[data-taken]').prepend(row);
  landed.textContent = `#${found.number} is written down, to be decided`;
});
