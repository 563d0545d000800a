// What was taken, as the page shows it: what changed last stands large, the others in the row of small ones.
const stage = document.querySelector('[data-stage]');
const row = document.querySelector('[data-taken]');
const most = Number(row.dataset.most);
const records = new Map();
let large = null;

// Done, kept and failed feel different too, for whoever does not look.
const BUZZ = { waiting: [40], done: [60, 60, 60], failed: [400, 120, 400], undone: [20] };

const make = (tag, className, textContent) => Object.assign(document.createElement(tag), { className, textContent });

function face(record) {
  if (record.picture) return Object.assign(document.createElement('img'), { src: record.picture, alt: record.alt ?? '' });
  const sign = document.querySelector(`input[name="kind"][value="${record.kind}"] + * svg`);
  return sign ? sign.cloneNode(true) : '';
}

function act({ text, href, run, more }) {
  const made = make(href ? 'a' : 'button', 'stage-act', text);
  if (href) made.href = href; else made.type = 'button';
  if (run) made.addEventListener('click', run);
  if (more) made.append(make('span', 'sr', more));
  return made;
}

function says({ state, number, head, words }) {
  if (state !== 'done' || !number) return [make('b', 'stage-head', head), ' ', make('span', '', words ?? '')];
  const figure = make('b', `stage-number${number.length > 4 ? ' stage-number-long' : ''}`, number);
  return [make('span', '', 'Write'), ' ', figure, ' ', make('span', '', 'on the part or bag')];
}

function about({ state, asks, code, label, where }) {
  if (asks) return [make('b', 'stage-asks', asks)];
  const kind = [label, where].filter(Boolean).join(', ');
  return [...(code ? [make('b', 'code', code), ' '] : []), state === 'failed' ? '' : kind];
}

function enlarge(record) {
  stage.dataset.state = record.state;
  stage.dataset.number = record.number ?? '';
  stage.querySelector('[data-face]').replaceChildren(face(record));
  stage.querySelector('[data-landed]').replaceChildren(...says(record));
  stage.querySelector('[data-what]').replaceChildren(...about(record));
  stage.querySelector('[data-acts]').replaceChildren(...record.acts.map(act));
}

function shrink(record) {
  const link = make('a', 'thumb-in');
  link.href = record.href;
  if (record.run) link.addEventListener('click', (event) => { event.preventDefault(); record.run(); });
  link.append(face(record), make('b', 'thumb-badge', record.badge), make('span', 'sr', ` ${record.said}`));
  record.place.dataset.state = record.state;
  record.place.replaceChildren(link);
}

const stays = (each) => ['failed', 'waiting'].includes(each.dataset.state);

function keepShort() {
  const old = [...row.children].slice(most).filter((each) => !stays(each) && !each.hidden);
  for (const each of old) {
    const record = records.get(each.dataset.entry);
    if (record?.picture) URL.revokeObjectURL(record.picture);
    each.remove();
  }
}

// What the laptop had drawn large when the page came goes into the row as soon as something follows it.
function retire() {
  const { item, number } = stage.dataset;
  if (!item) return;
  const old = document.createElement('li');
  old.className = 'thumb';
  old.dataset.state = stage.dataset.state;
  const link = Object.assign(make('a', 'thumb-in'), { href: stage.querySelector('a.stage-act')?.href ?? '#main' });
  link.append(...stage.querySelector('[data-face]').cloneNode(true).children, make('b', 'thumb-badge', number));
  old.append(link);
  row.prepend(old);
  delete stage.dataset.item;
}

export function show(id, changes) {
  const record = records.get(id) ?? { id, acts: [], href: '#main' };
  const before = record.state;
  Object.assign(record, changes);
  if (!records.has(id)) {
    retire();
    record.place = Object.assign(document.createElement('li'), { className: 'thumb' });
    record.place.dataset.entry = id;
    row.prepend(record.place);
    row.scrollLeft = 0;
    records.set(id, record);
  }
  shrink(record);
  if (record.state !== before) {
    if (large) large.place.hidden = false;
    large = record;
    record.place.hidden = true;
    if (!record.isQuiet) navigator.vibrate?.(BUZZ[record.state]);
  }
  if (large === record) enlarge(record);
  keepShort();
  return record;
}

export const recordOf = (id) => records.get(id);
