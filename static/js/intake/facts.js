// Facts: a form that says one thing of a gate or of the build goes into the outbox; what follows from it
// is taken from the page's own fresh copy once it has landed.
import { fieldsOf, put } from './outbox.js';

const PAUSE = 600;  // ms: a double tap with a glove says it once

for (const radio of document.querySelectorAll('[data-who] input')) {
  radio.addEventListener('change', () => {
    for (const person of document.querySelectorAll('[data-who-follows]')) person.value = radio.value;
  });
}

document.addEventListener('submit', async (event) => {
  const form = event.target.closest('[data-fact]');
  if (!form) return;
  event.preventDefault();
  if ('rests' in form.dataset) return;
  form.dataset.rests = '1';
  setTimeout(() => delete form.dataset.rests, PAUSE);
  const { build, subject } = form.dataset;
  const entry = await put({ type: 'form', form: 'fact', build, subject, fields: fieldsOf(form) });
  form.dataset.last = entry.id;
  form.querySelector('[data-told]').textContent = 'Kept on this phone';
});

const isTyped = (part) => [...part.querySelectorAll('input:not([type="hidden"])')].some((input) => input.value !== input.defaultValue || input.checked !== input.defaultChecked);

async function refresh() {
  const text = await fetch(location.href, { cache: 'no-store' }).then((r) => r.ok ? r.text() : '').catch(() => '');
  if (!text) return;
  const page = new DOMParser().parseFromString(text, 'text/html');
  const who = document.querySelector('[data-who] input:checked')?.value;
  for (const fresh of page.querySelectorAll('[data-part]')) {
    const old = document.querySelector(`[data-part="${CSS.escape(fresh.dataset.part)}"]`);
    if (old && !isTyped(old)) old.replaceWith(fresh);
  }
  for (const form of document.querySelectorAll('form[data-fact]')) {
    const same = page.querySelector(`form[data-subject="${form.dataset.subject}"]`);
    if (same) see(form, new FormData(same).getAll('after'));
  }
  if (who) for (const person of document.querySelectorAll('[data-who-follows]')) person.value = who;
}

function see(form, ids) {
  for (const old of form.querySelectorAll('input[name="after"]')) old.remove();
  for (const value of ids) form.append(Object.assign(document.createElement('input'), { type: 'hidden', name: 'after', value }));
}

document.addEventListener('outbox', ({ detail: { entry, answer } }) => {
  const form = [...document.querySelectorAll('[data-fact]')].find((each) => each.dataset.last === entry.id);
  if (!form) return;
  delete form.dataset.rests;
  const said = form.querySelector('[data-told]');
  if (answer.problem) { said.textContent = `Not written: ${answer.problem}`; return; }
  said.textContent = answer.quarantined ?? 'Written down';
  for (const input of form.querySelectorAll('input:not([type="hidden"])')) input.defaultValue = input.value;
  if (document.querySelector('[data-part]')) refresh();
});
