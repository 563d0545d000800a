// The list of what this phone still keeps, each with its reason; nothing is thrown away but by hand.
import { again, drop, fieldOf, kept } from './outbox.js';

const list = document.querySelector('[data-waiting]');

function button(text, work) {
  const made = Object.assign(document.createElement('button'), { type: 'button', className: 'act-minor act-small' });
  made.textContent = text;
  made.addEventListener('click', async () => { await work(); show(); });
  return made;
}

function row(each) {
  const said = document.createElement('span');
  const { entry } = each;
  const isCapture = [entry.type, entry.form].some((sort) => ['capture', 'finding'].includes(sort));
  const code = entry.code ?? fieldOf(entry, 'code');
  const act = entry.body?.act ?? (fieldOf(entry, 'act') || (entry.verb ?? fieldOf(entry, 'verb')));
  const what = isCapture ? (each.photo ? 'Photo' : `Code ${code}`) : `Mark: ${act}`;
  const at = new Date(each.entry.at).toLocaleString();
  said.textContent = `${what}, ${at}: ${each.refused || 'waiting to send'}`;
  const inside = Object.assign(document.createElement('p'), { className: 'prose' });
  inside.append(said);
  const made = Object.assign(document.createElement('li'), { className: 'row' });
  made.append(inside);
  if (each.refused) {
    const pair = Object.assign(document.createElement('div'), { className: 'act-pair' });
    pair.append(button('Try again', () => again(each)), button('Throw away', () => drop(each)));
    made.append(pair);
  }
  return made;
}

async function show() {
  const entries = await kept();
  list.replaceChildren(...entries.map(row));
  document.querySelector('[data-none]').hidden = entries.length > 0;
}

document.addEventListener('outbox', show);
show();
