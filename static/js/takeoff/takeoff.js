// The page left open at the engine: a photo or a typed code goes into the outbox, and the line exists.
import { drop, fieldOf, fieldsOf, kept, newId, put } from '../intake/outbox.js';
import { addOpening, beginJob, kindChosen, openMore, shut, zoneChosen } from './chips.js';
import { look } from './look.js';
import { recordOf, show } from './taken.js';

const form = document.querySelector('[data-capture]');
const { build, card, tray, outboxPage } = form.dataset;
const cardOf = (found) => card + found.subject.split(':')[1];
const spaced = (code) => (code.length === 7 ? `${code.slice(0, 3)}-${code.slice(3)}` : code);
const shooter = document.querySelector('[data-shoot] input');

async function write(subject, fields) {
  return put({ type: 'form', form: 'mark', build, subject, fields });
}

// Undo: what waits here is taken out of the outbox; what has landed is taken back by a line.
const unwanted = new Set();

const takeBack = (found) => write(found.subject, [['verb', 'undo'], ['line', found.line], ['after', found.line]]);

async function undo(id) {
  const record = recordOf(id);
  if (record.state === 'undone') return;
  const landed = record.made;
  const [head, words] = landed ? [`${record.number} is undone`, 'Its tag stays. Open it to mark it off.'] : ['Undone', 'It was not sent.'];
  const open = landed ? [{ text: 'Open it', href: record.href }] : [];
  show(id, { state: 'undone', badge: record.number || 'undone', head, words, said: 'undone', asks: '', acts: open });
  if (landed) { for (const found of landed) await takeBack(found); return; }
  unwanted.add(id);
  const waiting = (await kept()).find((each) => each.entry.id === id);
  if (waiting) await drop(waiting);
}

function keep(id, { code, isPhoto, ...more }) {
  if (recordOf(id)) return;  // the answer was quicker
  show(id, {
    state: 'waiting', badge: 'kept', head: 'Kept on this phone', words: 'Its number comes later.', said: 'kept on this phone',
    code: spaced(code), href: outboxPage, isPhoto, acts: [{ text: 'Undo', run: () => undo(id) }], ...more,
  });
}

const ASKS = { blurs: 'Looks blurred: take it again?', glares: 'Glare in it: take it again?' };

async function lookAt(id, file) {
  const { small, ...seen } = await look(file);
  const record = recordOf(id);
  if (!record || record.state === 'undone') return;
  const changes = small ? { picture: URL.createObjectURL(small) } : {};
  const fault = Object.keys(ASKS).find((each) => seen[each]);
  if (fault) {
    changes.asks = ASKS[fault];
    changes.later = record.acts;
    changes.acts = [{ text: 'Take it again', run: () => { answerAsk(id); shooter.click(); } }, { text: 'Keep it', run: () => answerAsk(id) }];
  }
  show(id, changes);
}
function answerAsk(id) {
  const { later } = recordOf(id);
  show(id, { asks: '', acts: later ?? [], later: undefined });
}

// What is asked about the photo is answered first: no button changes under a thumb.
function landed(id, changes) {
  const record = recordOf(id);
  show(id, record?.asks ? { ...changes, acts: record.acts, later: changes.acts } : changes);
}

async function take(photo, code = '') {
  const { kind, label } = kindChosen();
  const fields = [...fieldsOf(form, ['code']), ['code', code]];
  beginJob();
  const { id } = await put({ type: 'form', form: 'capture', build, item: newId(), fields }, photo);
  keep(id, { code, kind, label, where: zoneChosen(), isPhoto: Boolean(photo) });
  if (photo) lookAt(id, photo);
}

for (const input of document.querySelectorAll('[data-photos]')) {
  input.addEventListener('change', async () => {
    const code = form.querySelector('input[type="hidden"][name="code"]')?.value ?? '';
    const files = [...input.files];
    input.value = '';
    shut();
    for (const file of files) await take(file, code);
  });
}
for (const plain of document.querySelectorAll('[data-plain]')) plain.hidden = true;

form.addEventListener('submit', async (event) => {
  const typed = document.querySelector('#code');
  if (!typed) return;  // a scanned tag: the form itself makes the line and opens it
  event.preventDefault();
  if (!typed.value.trim()) { openMore(); return; }
  const code = typed.value.trim();
  typed.value = '';
  shut();
  await take(null, code);
});

// A thing that stands there not marked off: a photo alone does not mark it, a person does.
function markOff(id, found) {
  const { act, after } = found.not_off;
  write(found.subject, [['verb', 'mark'], ['act', act], ...after.map((line) => ['after', line])]);
  show(id, { state: 'done', badge: `${found.number}`, number: `${found.number}`, head: '', said: 'marked off', acts: [{ text: 'Open it', href: cardOf(found) }] });
}

function words(found, photo) {
  const name = `${spaced(found.code)}${found.number ? ` #${found.number}` : ''}`;
  if (found.state === 'void') return `${name}: a void tag, not used`;
  if (found.not_off) return `${name}: not marked off`;
  if (found.state === 'used') return photo ? `${name}: photo added` : `${name} is there already`;
  return `${name}: off, words can wait`;
}

function failed(id, changes) {
  landed(id, { state: 'failed', number: '', ...changes });
}

function notTaken(entry, nth, photo, problem) {
  const code = entry.code ?? fieldOf(entry, 'code');
  const said = `Not taken: ${problem}`;
  if (photo) {
    failed(entry.id, { badge: 'refused', head: 'Not taken:', words: problem, said, href: outboxPage, acts: [{ text: 'Look at it', href: outboxPage }] });
    return;
  }
  const typed = document.querySelector('#code');
  if (typed && !typed.value) typed.value = code;  // a slip of the finger: back into the field, to be typed again
  const again = () => openMore(code);
  failed(entry.id, { badge: 'refused', head: 'Not taken:', words: problem, said, run: again, acts: [{ text: 'Type it again', run: again }] });
  drop({ nth });
}

function unread(id) {
  const acts = [{ text: 'Type its code', run: () => openMore() }, { text: 'Tray', href: tray }];
  failed(id, { badge: 'no tag', head: 'No tag read', words: 'Take it again, the whole tag in the frame. This photo is in the tray.', said: 'No tag read: the photo is in the tray', href: tray, acts });
}

function found(id, all, photo) {
  const made = all.filter((each) => each.state === 'new');
  const said = all.map((each) => words(each, photo)).join('; ');
  const [first] = made.length ? made : all;
  const href = first.subject ? cardOf(first) : '#main';
  const code = spaced(first.code);
  const bad = all.find((each) => each.not_off || each.state === 'void');
  const open = { text: 'Open it', href };
  if (bad) {
    const acts = bad.not_off ? [{ text: 'Mark it off', run: () => markOff(id, bad) }, { ...open, href: cardOf(bad) }] : made.length ? [open] : [];
    failed(id, { badge: bad.not_off ? 'not off' : 'void', head: bad.not_off ? `${bad.number} is not marked off` : 'A void tag: not used', words: said, said, href, code, acts });
    return;
  }
  const number = made.map((each) => each.number).join(', ');
  const acts = made.length ? [{ text: 'Undo', run: () => undo(id) }, { text: 'Wrong', more: ': open its card', href }] : [open];
  const head = photo ? `Photo added to ${first.number ?? code}` : `${first.number ?? code} is there already`;
  landed(id, { state: 'done', made, number, badge: `${number || first.number || code}`, head, words: made.length ? '' : said, said, href, code, alt: `Photo of ${first.number ?? code}`, acts });
}

document.addEventListener('outbox', ({ detail: { entry, nth, photo, answer } }) => {
  if (entry.type !== 'capture' && entry.form !== 'capture') return;
  const all = answer.found ?? [];
  if (unwanted.has(entry.id)) { for (const each of all) if (each.line) takeBack(each); return; }
  if (answer.quarantined) { failed(entry.id, { badge: 'aside', head: 'Put aside', words: answer.quarantined, said: answer.quarantined }); return; }
  if (answer.problem) { notTaken(entry, nth, photo, answer.problem); return; }
  addOpening(all[0]);
  form.elements.closes.value = '';
  if (answer.tray || !all.length) unread(entry.id); else found(entry.id, all, photo);
});

// The one that the laptop drew large can be undone out of its reach as well.
document.querySelector('[data-undo]')?.addEventListener('click', (event) => {
  event.preventDefault();
  const { item, number } = document.querySelector('[data-stage]').dataset;
  const asked = document.querySelector('#undo-last');
  const href = card + item;
  delete document.querySelector('[data-stage]').dataset.item;
  write(`item:${item}`, fieldsOf(asked, ['back', 'line_id']));
  show(item, { state: 'undone', badge: number, number, head: `${number} is undone`, words: 'Its tag stays. Open it to mark it off.', said: 'undone', href, acts: [{ text: 'Open it', href }] });
});

// What a visit before this one left here is shown again, with its reason where it was refused.
for (const { entry, nth, photo, refused } of (await kept()).filter((each) => each.entry.form === 'capture' && each.entry.build === build)) {
  const kind = fieldOf(entry, 'kind');
  const { label } = form.querySelector(`input[name="kind"][value="${CSS.escape(kind)}"]`)?.dataset ?? {};
  keep(entry.id, { code: fieldOf(entry, 'code'), kind, label, isPhoto: Boolean(photo), isQuiet: true });
  if (refused) notTaken(entry, nth, Boolean(photo), refused);
  if (photo) look(photo).then(({ small }) => small && show(entry.id, { picture: URL.createObjectURL(small) }));
  show(entry.id, { isQuiet: false });
}
