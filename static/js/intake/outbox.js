// The outbox: what was photographed, typed or marked is kept on this phone until the laptop has it.
// An entry is written here first and sent after; the server answers each one once and for all.

const FOLDER = document.querySelector('meta[name="folder-id"]')?.content ?? '';
const CSRF = document.querySelector('meta[name="csrf-token"]')?.content ?? '';
const EVERY = 4000;

export function newId() {
  const bytes = crypto.getRandomValues(new Uint8Array(16));
  return Array.from(bytes, (byte) => byte.toString(16).padStart(2, '0')).join('');
}

// The fields of a form as they are, for the laptop to read: without its token, its files and what it hides.
export function fieldsOf(form, without = []) {
  const hidden = new Set([...form.querySelectorAll('[data-when][hidden] [name]')].map((each) => each.name));
  const left = ['csrf_token', ...without];
  return [...new FormData(form)].filter(([name, value]) => typeof value === 'string' && !left.includes(name) && !hidden.has(name));
}

const isGiven = (input) => (['checkbox', 'radio'].includes(input.type) ? input.checked : input.value.trim());

// The first part of a form that the page asks for and in which nothing is ticked or typed.
export function missing(form) {
  return [...form.querySelectorAll('[data-missing]:not([hidden])')].find((part) => ![...part.querySelectorAll('input:not([type="hidden"])')].some(isGiven));
}

export const fieldOf = (entry, name) => (entry.fields ?? []).find(([key]) => key === name)?.[1] ?? '';

const opened = new Promise((resolve, reject) => {
  const request = indexedDB.open('putback', 1);
  request.onupgradeneeded = () => request.result.createObjectStore('entries', { keyPath: 'nth', autoIncrement: true });
  request.onsuccess = () => resolve(request.result);
  request.onerror = () => reject(request.error);
});

async function inStore(mode, work) {
  const database = await opened;
  return new Promise((resolve, reject) => {
    const transaction = database.transaction('entries', mode, { durability: 'strict' });
    const request = work(transaction.objectStore('entries'));
    transaction.oncomplete = () => resolve(request.result);
    transaction.onerror = () => reject(transaction.error);
    transaction.onabort = () => reject(transaction.error);
  });
}

export const kept = () => inStore('readonly', (store) => store.getAll());

export async function put(entry, photo = null) {
  const whole = { id: newId(), folder: FOLDER, at: new Date().toISOString(), ...entry };
  await inStore('readwrite', (store) => store.add({ entry: whole, photo, refused: '' }));
  await show();
  flush();
  return whole;
}

export async function drop(each) {
  await inStore('readwrite', (store) => store.delete(each.nth));
  await show();
}

export async function again(each) {
  await inStore('readwrite', (store) => store.put({ ...each, refused: '' }));
  await flush();
}

async function show() {
  const entries = (await kept()).filter((each) => each.entry.folder === FOLDER);
  const waiting = entries.filter((each) => !each.refused).length;
  const refused = entries.length - waiting;
  for (const place of document.querySelectorAll('[data-outbox]')) {
    place.hidden = entries.length === 0;
    place.textContent = [waiting && `${waiting} waiting to send`, refused && `${refused} refused`].filter(Boolean).join(', ');
  }
}

async function send(each) {
  const form = new FormData();
  form.append('entry', JSON.stringify(each.entry));
  if (each.photo) form.append('photo', each.photo, 'photo.jpg');
  const response = await fetch('/lines', { method: 'POST', body: form, headers: { 'X-CSRFToken': CSRF } });
  const type = response.headers.get('Content-Type') ?? '';
  const answer = type.includes('json') ? await response.json() : {};
  return { status: response.status, answer };
}

let busy = false;
let more = false;

export async function flush() {
  if (busy) { more = true; return; }
  busy = true;
  try {
    for (const each of await kept()) {
      if (each.refused || each.entry.folder !== FOLDER) continue;
      const { status, answer } = await send(each);
      if (status === 400 && answer.code === '400') break;  // a page from an older visit: a reload mends it
      if (status < 400) await inStore('readwrite', (store) => store.delete(each.nth));
      else if (answer.problem && ![401, 429, 500].includes(status)) await inStore('readwrite', (store) => store.put({ ...each, refused: answer.problem }));
      else break;
      document.dispatchEvent(new CustomEvent('outbox', { detail: { entry: each.entry, nth: each.nth, photo: Boolean(each.photo), status, answer } }));
    }
  } catch { /* Out of reach: everything stays here, and the next try comes by itself. */ }
  busy = false;
  await show();
  if (more) { more = false; flush(); }
}

// A page opened at an old port sends what is left there, then goes on at the address now in use.
async function goHome() {
  const origin = document.querySelector('meta[name="origin"]')?.content;
  if (!origin || origin === location.origin || new URL(origin).hostname !== location.hostname) return;
  if ((await kept()).length === 0) location.replace(origin + location.pathname + location.search);
}

addEventListener('online', flush);
document.addEventListener('visibilitychange', () => document.hidden || flush());
setInterval(async () => { if ((await kept()).some((each) => !each.refused)) flush(); }, EVERY);
show();
flush().then(goHome);
