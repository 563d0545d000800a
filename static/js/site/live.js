// A page that keeps itself fresh: asks with the tag of what it shows, and costs nothing while nothing changed.
const EVERY = 3000;
const place = document.querySelector('[data-live]');
let tag = '';

async function refresh() {
  if (document.hidden) return;
  try {
    const response = await fetch(place.dataset.live, { headers: tag ? { 'If-None-Match': tag } : {}, cache: 'no-store' });
    if (response.status !== 200) return;
    tag = response.headers.get('ETag') ?? '';
    const fresh = new DOMParser().parseFromString(await response.text(), 'text/html').querySelector('[data-live]');
    if (fresh) place.replaceChildren(...fresh.childNodes);
  } catch { /* Out of reach: what is shown stays, the next try comes by itself. */ }
}
setInterval(refresh, EVERY);
