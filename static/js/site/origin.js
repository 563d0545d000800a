// One address for each phone: where the laptop's name is reached from here, pairing goes on under the name.
const form = document.querySelector('[data-origin]');
const origin = form?.dataset.origin;

async function moveOver() {
  if (!origin || origin === location.origin) return;
  const stop = new AbortController();
  const timer = setTimeout(() => stop.abort(), 2500);
  try {
    const response = await fetch(`${origin}/here`, { mode: 'cors', signal: stop.signal, cache: 'no-store' });
    const folder = document.querySelector('meta[name="folder-id"]').content;
    if (response.ok && (await response.text()) === folder) location.replace(origin + location.pathname);
  } catch { /* The name is not reached from this phone: it stays with the number. */ }
  clearTimeout(timer);
}
moveOver();
