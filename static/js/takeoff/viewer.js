// The photo over the whole screen: the next one by a tap, a swipe or a key, without leaving the page, so that the
// browser's way back leads to where one came from, with all that was typed there.
const ZOOMS = [1, 2, 4];
const SWIPE = 60;  // px

const viewer = document.querySelector('[data-viewer]');
const find = (selector) => viewer.querySelector(selector);

function resize(by) {
  const [photo, shot] = [find('[data-photo]'), find('[data-shot]')];
  const at = ZOOMS.indexOf(Number(photo.dataset.zoom));
  const zoom = ZOOMS[at + by];
  if (!zoom) return;
  const middle = [(shot.scrollLeft + shot.clientWidth / 2) / shot.scrollWidth, (shot.scrollTop + shot.clientHeight / 2) / shot.scrollHeight];
  photo.dataset.zoom = zoom;
  photo.className = `viewer-photo zoom-${zoom}`;
  shot.scrollTo(middle[0] * shot.scrollWidth - shot.clientWidth / 2, middle[1] * shot.scrollHeight - shot.clientHeight / 2);
  for (const mark of viewer.querySelectorAll('[data-size]')) {
    if (ZOOMS[at + by + Number(mark.dataset.size)]) mark.removeAttribute('aria-disabled'); else mark.setAttribute('aria-disabled', 'true');
  }
}

async function go(way) {
  const link = find(`[data-go="${way}"]`);
  if (!link) return;
  const text = await fetch(link.href).then((r) => (r.ok ? r.text() : '')).catch(() => '');
  if (!text) { find('[data-said]').textContent = 'The laptop is out of reach'; return; }
  const page = new DOMParser().parseFromString(text, 'text/html');
  viewer.replaceChildren(...page.querySelector('[data-viewer]').childNodes);
  document.title = page.title;
  history.replaceState(null, '', link.href);
  (find(`[data-go="${way}"]`) ?? find('[data-go]') ?? find('[data-back]')).focus();
}

// Where the page before this one is the one that the link names, the browser goes back to it as it was left.
function back(event) {
  const from = document.referrer ? new URL(document.referrer) : null;
  if (from?.origin !== location.origin || from.pathname !== new URL(find('[data-back]').href).pathname) return;
  event.preventDefault();
  history.back();
}

viewer.addEventListener('click', (event) => {
  const mark = event.target.closest('a');
  if (!mark || event.ctrlKey || event.metaKey || event.shiftKey) return;
  if ('back' in mark.dataset) { back(event); return; }
  event.preventDefault();
  if (mark.dataset.size) resize(Number(mark.dataset.size));
  if (mark.dataset.go) go(mark.dataset.go);
});

const isLarge = () => find('[data-photo]').dataset.zoom !== '1' || (window.visualViewport?.scale ?? 1) > 1.05;

document.addEventListener('keydown', ({ key, altKey, ctrlKey, metaKey }) => {
  if (altKey || ctrlKey || metaKey) return;
  const inside = isLarge() && document.activeElement === find('[data-shot]');  // there the arrows move the photo
  if (key === 'ArrowLeft' && !inside) go('earlier');
  if (key === 'ArrowRight' && !inside) go('later');
  if (key === '+' || key === '=') resize(1);
  if (key === '-') resize(-1);
  if (key === 'Escape') find('[data-back]').click();
});

let began = null;
viewer.addEventListener('touchstart', ({ touches }) => {
  began = touches.length === 1 && !isLarge() ? [touches[0].clientX, touches[0].clientY] : null;
}, { passive: true });
viewer.addEventListener('touchend', ({ changedTouches, touches }) => {
  if (!began || touches.length) return;
  const [x, y] = [changedTouches[0].clientX - began[0], changedTouches[0].clientY - began[1]];
  began = null;
  if (Math.abs(x) > SWIPE && Math.abs(x) > 2 * Math.abs(y)) go(x < 0 ? 'later' : 'earlier');
}, { passive: true });
