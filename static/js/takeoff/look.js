// A first look at a photo on the phone itself: a small picture to show, and whether it is blurred or glares.
// It tells and never holds anything up: the photo is in the outbox by then.
const WIDE = 480;  // px: what is blurred in here is blurred on any screen
const LEAST_EDGES = 14;  // variance of the second derivative of luminance
const MOST_WHITE = 0.3;  // share of the picture that is burnt out
const BURNT = 250;

function luminance({ data }) {
  const grey = new Float32Array(data.length / 4);
  for (let i = 0; i < grey.length; i += 1) grey[i] = 0.299 * data[4 * i] + 0.587 * data[4 * i + 1] + 0.114 * data[4 * i + 2];
  return grey;
}

export function edges(grey, width) {
  let [sum, squares, count] = [0, 0, 0];
  for (let i = width + 1; i < grey.length - width - 1; i += 1) {
    const second = grey[i - 1] + grey[i + 1] + grey[i - width] + grey[i + width] - 4 * grey[i];
    sum += second;
    squares += second * second;
    count += 1;
  }
  return squares / count - (sum / count) ** 2;
}

export async function look(file) {
  try {
    const picture = await createImageBitmap(file, { resizeWidth: WIDE, resizeQuality: 'medium' });
    const canvas = Object.assign(document.createElement('canvas'), { width: picture.width, height: picture.height });
    const drawn = canvas.getContext('2d', { willReadFrequently: true });
    drawn.drawImage(picture, 0, 0);
    const grey = luminance(drawn.getImageData(0, 0, canvas.width, canvas.height));
    const small = await new Promise((done) => { canvas.toBlob(done, 'image/jpeg', 0.7); });
    picture.close();
    const burnt = grey.filter((each) => each >= BURNT).length / grey.length;
    return { small, blurs: edges(grey, canvas.width) < LEAST_EDGES, glares: burnt > MOST_WHITE };
  } catch {
    return { small: null, blurs: false, glares: false };  // the laptop says what is no photo
  }
}
