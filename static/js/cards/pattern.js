// The pattern of a group: «Next bolt» moves the mark on, so that nobody loses count. Nothing is written by it.
for (const figure of document.querySelectorAll('[data-pattern]')) {
  const bolts = [...figure.querySelectorAll('[data-turn]')].sort((a, b) => a.dataset.turn - b.dataset.turn);
  const button = figure.querySelector('[data-pattern-next]');
  const said = figure.querySelector('[data-pattern-said]');
  let at = bolts.findIndex((bolt) => bolt.classList.contains('bolt-next'));

  const show = () => {
    bolts.forEach((bolt, i) => {
      bolt.classList.toggle('bolt-done', i < at);
      bolt.classList.toggle('bolt-next', i === at);
      bolt.classList.toggle('bolt-later', i > at);
    });
    const bolt = bolts[at];
    said.textContent = bolt ? `Next: ${bolt.dataset.turn}${bolt.dataset.turn === bolt.dataset.hole ? '' : `, hole ${bolt.dataset.hole}`}.` : 'All of them: press the button below.';
    button.textContent = bolt ? 'Next bolt' : 'Once more from the first';
  };

  // The next stage begins at the first bolt again; behind the final one there is none.
  document.getElementById(`act-${figure.dataset.pattern}`)?.addEventListener('stepped', ({ detail: asks }) => {
    at = asks.includes('bolts') ? 0 : bolts.length;
    show();
    if (!asks.includes('bolts')) said.textContent = '';
  });

  button.hidden = bolts.length < 2;
  button.addEventListener('click', () => { at = at < 0 || at >= bolts.length ? 0 : at + 1; show(); });
}
