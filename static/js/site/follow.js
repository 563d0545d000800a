// What a line changes elsewhere on its page: the count at the top, and the rows that waited for what was marked.
const PAUSE = 500;  // ms: lines that land together ask once
let due = 0;

const formOf = (row) => row.querySelector('[data-mark]');
const asks = (form) => `${form.elements.act.value} ${form.elements.stage.value}`;

// A row whose own act was just marked is renewed by its own form.
function renew(row, fresh) {
  const [form, other] = [formOf(row), formOf(fresh)];
  if (!form || !other || asks(form) !== asks(other)) return;
  row.className = fresh.className;
  const [remark, now] = [row, fresh].map((each) => each.querySelector('[data-remark]'));
  remark.hidden = now.hidden;
  remark.textContent = now.textContent;
  form.dataset.rungs = other.dataset.rungs;
  const [button, offered] = [form, other].map((each) => each.querySelector('[data-next]'));
  if (!button || !offered) return;
  button.replaceChildren(...offered.childNodes);
  for (const each of ['name', 'value']) {
    if (offered.hasAttribute(each)) button.setAttribute(each, offered.getAttribute(each)); else button.removeAttribute(each);
  }
}

async function follow() {
  const text = await fetch(location.href, { cache: 'no-store' }).then((r) => (r.ok ? r.text() : '')).catch(() => '');
  const page = new DOMParser().parseFromString(text, 'text/html');
  const count = page.querySelector('.head-count');
  if (count) document.querySelector('.head-count').replaceChildren(...count.childNodes);
  for (const row of document.querySelectorAll('[data-row]')) {
    const fresh = page.querySelector(`[data-row="${row.dataset.row}"]`);
    if (fresh) renew(row, fresh);
  }
}

document.addEventListener('outbox', ({ detail: { answer } }) => {
  if (answer.problem) return;
  clearTimeout(due);
  due = setTimeout(follow, PAUSE);
});
