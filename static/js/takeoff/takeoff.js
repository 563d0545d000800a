// The page left open at the engine: a photo or a typed code goes into the outbox, and the line exists.
import { drop, fieldOf, fieldsOf, newId, put } from '../intake/outbox.js';

const form = document.querySelector('[data-capture]');
const taken = document.querySelector('[data-taken]');
const shown = new Map();

const value = (name) => new FormData(form).get(name) ?? '';

function say(id, text, href = '') {
  let row = shown.get(id);
  if (!row) {
    row = document.createElement('li');
    row.className = 'row';
    shown.set(id, row);
    taken.prepend(row);
  }
  const inside = document.createElement(href ? 'a' : 'div');
  inside.className = 'row-in';
  if (href) inside.href = href;
  inside.textContent = text;
  row.replaceChildren(inside);
  document.querySelector('[data-landed]').textContent = text;  // beside the button, wherever the page is scrolled
}

async function take(photo, code = '') {
  const fields = [...fieldsOf(form, ['code']), ['code', code]];
  const entry = await put({ type: 'form', form: 'capture', build: form.dataset.build, item: newId(), fields }, photo);
  say(entry.id, code ? `${code}: kept on this phone` : 'Photo: kept on this phone');
}

for (const input of document.querySelectorAll('[data-photos]')) {
  input.addEventListener('change', async () => {
    const code = form.querySelector('input[type="hidden"][name="code"]')?.value ?? '';
    for (const file of [...input.files]) await take(file, code);
    input.value = '';
  });
}
form.querySelector('[data-plain]').hidden = true;

form.addEventListener('submit', async (event) => {
  const typed = form.querySelector('#code');
  if (!typed) return;  // a scanned tag: the form itself makes the line and opens it
  event.preventDefault();
  if (!typed.value.trim()) { typed.focus(); return; }
  await take(null, typed.value.trim());
  typed.value = '';
});

// A state that the kind in hand cannot have is not offered; the page itself says which ones it can.
function offerStates() {
  for (const option of form.elements.act.querySelectorAll('[data-kinds]')) {
    option.hidden = option.disabled = !option.dataset.kinds.split(' ').includes(value('kind'));
    if (option.disabled && option.selected) form.elements.act.value = '';
  }
}
// What a cap closes is asked of caps alone; what was just taken is among the choices.
function offerOpenings() {
  for (const each of form.querySelectorAll('[data-kind]')) each.hidden = each.dataset.kind !== value('kind');
  if (value('kind') !== 'temporary') form.elements.closes.value = '';
}
function addOpening(found) {
  const closes = form.elements.closes;
  if (found?.state !== 'new' || !closes.dataset.kinds.split(' ').includes(found.kind)) return;
  const option = Object.assign(document.createElement('option'), { value: found.subject.split(':')[1], textContent: `#${found.number} ${found.name}`.trim() });
  closes.firstElementChild.after(option);
}
for (const radio of form.querySelectorAll('input[name="kind"]')) {
  radio.addEventListener('change', () => { offerStates(); offerOpenings(); });
}
offerStates();
offerOpenings();

form.elements.step.addEventListener('change', () => {
  for (const each of form.querySelectorAll('[data-steps]')) each.hidden = !each.dataset.steps.split(' ').includes(value('step'));
});

for (const radio of form.querySelectorAll('input[name="zone"]')) {
  radio.addEventListener('change', () => {
    document.querySelector('[data-zone-name]').textContent = radio.getAttribute('aria-label') ?? '';
  });
}

const spaced = (code) => `${code.slice(0, 3)}-${code.slice(3)}`;

function words(found, photo) {
  const number = found.number ? ` #${found.number}` : '';
  const name = `${spaced(found.code)}${number}`;
  if (found.state === 'void') return `${name}: a void tag, not used`;
  if (found.state === 'used') return photo ? `${name}: photo added` : `${name} is there already`;
  return `${name}: off, words can wait`;
}

async function refused(entry, nth, problem) {
  say(entry.id, `Not taken: ${problem}`);
  await drop({ nth });  // a slip of the finger: back into the field, to be typed again
  const typed = form.querySelector('#code');
  if (typed && !typed.value) typed.value = entry.code ?? fieldOf(entry, 'code');
}

document.addEventListener('outbox', ({ detail: { entry, nth, photo, answer } }) => {
  if (entry.type !== 'capture' && entry.form !== 'capture') return;
  if (answer.quarantined) { say(entry.id, answer.quarantined); return; }
  if (answer.problem) { if (photo) say(entry.id, `Not taken: ${answer.problem}`); else refused(entry, nth, answer.problem); return; }
  const [first] = answer.found ?? [];
  addOpening(first);
  form.elements.closes.value = '';
  const text = answer.tray ? 'No tag read: the photo is in the tray' : (answer.found ?? []).map((each) => words(each, photo)).join('; ');
  say(entry.id, text, first?.subject ? form.dataset.item + first.subject.split(':')[1] : '');
});
