/** What the server takes. */
const MOST_BYTES = 5 * 1024 * 1024;
/** Enough to read a gauge or a plate on it. */
const LONG_SIDE_PX = 2400;

/** A photo as the server takes it: unchanged where it fits, else smaller. Null where the browser can't read it. */
export async function fitPhoto(file: File): Promise<Blob | null> {
  const isKnown = file.type === 'image/jpeg' || file.type === 'image/png';
  if (isKnown && file.size <= MOST_BYTES) return file;
  try {
    const bitmap = await createImageBitmap(file);
    const share = Math.min(1, LONG_SIDE_PX / Math.max(bitmap.width, bitmap.height));
    const canvas = new OffscreenCanvas(Math.round(bitmap.width * share), Math.round(bitmap.height * share));
    canvas.getContext('2d')?.drawImage(bitmap, 0, 0, canvas.width, canvas.height);
    bitmap.close();
    return await canvas.convertToBlob({ type: 'image/jpeg', quality: 0.85 });
  } catch {
    return null;
  }
}
