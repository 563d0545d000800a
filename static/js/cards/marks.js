// Marks: the next act of a card goes into the outbox; the button then offers the rung after it.
import { fieldsOf, missing, put } from '../intake/outbox.js';

const nextButton = (form) => form.querySelector('[data-next]') ?? document.querySelector(`[data-next="${form.dataset.item}"]`);

function setSeen(form, ids) {
  for (const old of form.querySelectorAll('input[name="after"]')) old.remove();
  for (const value of ids) form.append(Object.assign(document.createElement('input'), { type: 'hidden', name: 'after', value }));
}

// The large button says the next act, or, where that asks what was reached, the usual way to say it.
function say(button, [, words, , , way]) {
  button.textContent = way ? way[1] : `Next: ${words}`;
  if (!way) { button.removeAttribute('name'); button.removeAttribute('value'); return; }
  button.name = 'way';
  button.value = way[0];
  button.append(Object.assign(document.createElement('small'), { textContent: `Next: ${words}` }));
}

const TYPED = ['read', 'gauge'];

// A click, marks or «by feel» need nothing typed.
function lacks(form, way) {
  const part = missing(form);
  return part?.classList.contains('reached') && !TYPED.includes(way?.[0]) ? undefined : part;
}

function step(form, id) {
  const rungs = JSON.parse(form.dataset.rungs);
  const [, ...rest] = rungs;
  form.dataset.rungs = JSON.stringify(rest);
  setSeen(form, [id]);
  const button = nextButton(form);
  form.dispatchEvent(new CustomEvent('stepped', { detail: rest[0]?.[3] ?? [] }));
  if (!rest.length) { button.hidden = true; return; }
  const [act, , stage, asks] = rest[0];
  form.elements.act.value = act;
  form.elements.stage.value = stage;
  say(button, rest[0]);
  for (const part of form.querySelectorAll('[data-when]')) part.hidden = !asks.includes(part.dataset.when);
  if (asksLook(form)) refuseDoer(form);
}

const PAUSE = 600;  // ms: a double tap with a glove takes one rung, not two

function rest(form) {
  form.dataset.rests = '1';
  hold(form);
  setTimeout(() => { delete form.dataset.rests; hold(form); }, PAUSE);
}

function hold(form) {
  for (const button of [nextButton(form), ...form.querySelectorAll('button[name="way"]')]) {
    button?.setAttribute('aria-disabled', String('rests' in form.dataset));
  }
}

const doers = (form) => [...JSON.parse(form.dataset.doers ?? '[]'), form.dataset.did ?? ''];

function refuseDoer(form) {
  for (const radio of form.querySelectorAll('input[type="radio"][name="person"]')) {
    radio.disabled = doers(form).includes(radio.value);
    if (radio.disabled) radio.checked = false;
  }
}

const asksLook = (form) => JSON.parse(form.dataset.rungs)[0]?.[3].includes('look') ?? false;

function isOwnLook(form, data) {
  const looker = data.get('person');
  return asksLook(form) && !data.get('alone') && (!looker || doers(form).includes(looker));
}

for (const form of document.querySelectorAll('[data-mark]')) {
  form.addEventListener('submit', async (event) => {
    event.preventDefault();
    if ('rests' in form.dataset) return;
    const said = form.querySelector('[data-said]');
    const data = new FormData(form);
    const button = event.submitter?.name ? event.submitter : undefined;
    const part = lacks(form, button?.name === 'way' ? JSON.parse(button.value) : undefined);
    if (isOwnLook(form, data) || part) {
      said.textContent = part ? part.dataset.missing : form.dataset.look;
      if (part) rest(form);
      if (part instanceof HTMLDetailsElement) part.open = true;
      part?.querySelector('input:not([type="hidden"]):not([type="checkbox"])')?.focus();
      return;
    }
    rest(form);
    const entry = await put({
      type: 'form', form: 'mark', build: form.dataset.build, subject: form.dataset.subject, fields: [...fieldsOf(form), ...(button ? [[button.name, button.value]] : [])],
    });
    if (form.elements.reached) form.elements.reached.value = '';
    if (form.elements.litres) form.elements.litres.value = '';
    form.dataset.did = data.get('person') ?? '';
    said.textContent = 'Kept on this phone';
    form.dataset.last = entry.id;
    const whole = !data.has('has_pos') || data.getAll('pos').length === form.querySelectorAll('input[name="pos"]').length;
    form.dataset.whole = whole ? '1' : '';
    if (whole) step(form, entry.id);
  });
}

// What was refused did not happen: the button offers again what it offered before.
function offer(form) {
  const [next] = JSON.parse(form.dataset.rungs);
  const button = nextButton(form);
  if (!next || !button) return;
  button.hidden = false;
  say(button, next);
}

// A form that already shows the right rung is left alone: somebody may be typing a value into it.
function isSame(form, fresh) {
  const [act, stage] = [form.elements.act.value, form.elements.stage.value];
  const same = act === fresh.elements.act.value && stage === fresh.elements.stage.value;
  return form.dataset.whole === '1' && same && !asksLook(fresh);
}

document.addEventListener('outbox', async ({ detail: { entry, answer } }) => {
  const form = [...document.querySelectorAll('[data-mark]')].find((each) => each.dataset.last === entry.id);
  if (!form) return;
  const wrong = answer.problem ? `Not written: ${answer.problem}` : '';
  if (wrong) form.querySelector('[data-said]').textContent = wrong;
  const query = new URLSearchParams(location.search);  // such as the adapter on the wrench
  const fresh = await fetch(`/i/${form.dataset.item}/form?${query}`, { cache: 'no-store' }).then((r) => r.ok ? r.text() : '').catch(() => '');
  if (!fresh || form.dataset.last !== entry.id) return;
  const page = new DOMParser().parseFromString(fresh, 'text/html');
  for (const part of page.querySelectorAll('[data-fresh]')) {
    document.querySelector(`[data-fresh="${part.dataset.fresh}"]`)?.replaceChildren(...part.childNodes);
  }
  const parsed = page.querySelector('[data-mark]');
  for (const name of ['rungs', 'doers']) form.dataset[name] = parsed.dataset[name];
  if (!wrong && isSame(form, parsed)) setSeen(form, new FormData(parsed).getAll('after'));
  else form.replaceChildren(...parsed.childNodes);
  if (wrong) offer(form);
  hold(form);
  form.querySelector('[data-said]').textContent = wrong || answer.quarantined || 'Written down';
});
