// The chips: what is chosen stands on them, and a choice shuts the panel that it was made in.
const form = document.querySelector('[data-capture]');
const value = (name) => new FormData(form).get(name) ?? '';
const chosen = (name) => form.querySelector(`input[name="${name}"]:checked`);

export const kindChosen = () => ({ kind: value('kind'), label: chosen('kind')?.dataset.label ?? '' });
export const zoneChosen = () => {
  const radio = chosen('zone');
  return radio?.getAttribute('aria-label') ?? radio?.parentElement.textContent.trim() ?? '';
};

function tell() {
  for (const pick of form.querySelectorAll('[data-pick]')) {
    pick.dataset.live = '';
    const radio = pick.querySelector('input:checked');
    const words = radio?.dataset.label ?? radio?.getAttribute('aria-label') ?? radio?.parentElement.textContent.trim();
    pick.querySelector('[data-value]').textContent = words ?? '';
  }
}

// A state that the kind in hand cannot have is not offered; the page itself says which ones it can.
function offerStates() {
  const { options } = form.elements.act;
  options[0].textContent = chosen('kind')?.dataset.begins ?? 'off';
  for (const option of form.elements.act.querySelectorAll('[data-kinds]')) {
    option.hidden = option.disabled = !option.dataset.kinds.split(' ').includes(value('kind'));
    if (option.disabled && option.selected) form.elements.act.value = '';
  }
}

// What a cap closes is asked of caps alone; what was just taken is among the choices.
function offerOpenings() {
  if (value('kind') !== 'temporary') form.elements.closes.value = '';
}
export function addOpening(found) {
  const { closes } = form.elements;
  if (found?.state !== 'new' || !closes.dataset.kinds.split(' ').includes(found.kind)) return;
  const option = Object.assign(document.createElement('option'), { value: found.subject.split(':')[1], textContent: `#${found.number} ${found.name}`.trim() });
  closes.firstElementChild.after(option);
}

const briefs = [...form.querySelectorAll('[data-brief]')];

// The cautions of a job stand open when it begins.
function turnToJob() {
  for (const brief of briefs) {
    brief.hidden = brief.dataset.brief !== value('step');
    brief.open = !brief.hidden && 'unread' in brief.dataset;
  }
}
// The first capture of a job folds them: they were read.
export function beginJob() {
  for (const brief of briefs.filter((each) => !each.hidden)) {
    delete brief.dataset.unread;
    brief.open = false;
  }
}

export function openMore(typed = '') {
  document.querySelector('[data-more]').open = true;
  const field = document.querySelector('#code');
  if (field && typed && !field.value) field.value = typed;
  field?.focus();
}
export const shut = () => { for (const pick of document.querySelectorAll('.pick[open]')) pick.open = false; };

for (const pick of form.querySelectorAll('[data-pick]')) {
  let byKey = false;
  pick.addEventListener('keydown', ({ key }) => {
    byKey = key.startsWith('Arrow');  // arrows go through the choices; Enter takes the one that is chosen
    if (key === 'Enter' && pick.open && document.activeElement.matches('input')) setTimeout(() => finish(pick));
  });
  pick.addEventListener('pointerdown', () => { byKey = false; });
  pick.addEventListener('change', () => {
    tell();
    offerStates();
    offerOpenings();
  });
  // A tap on a choice shuts the panel, on the one that stands already as well.
  pick.addEventListener('click', ({ target }) => { if (target.matches('input:checked') && !byKey) finish(pick); });
}
function finish(pick) {
  pick.open = false;
  pick.querySelector('summary').focus({ preventScroll: true });
}
document.addEventListener('keydown', ({ key }) => {
  const open = document.querySelector('.pick[open]');
  if (key === 'Escape' && open) finish(open);
});
document.addEventListener('keydown', (event) => {
  if (event.key === 'Enter' && event.target.matches('.pick input[type="radio"]')) event.preventDefault();
});

form.elements.step.addEventListener('change', turnToJob);
tell();
offerStates();
offerOpenings();
