/** Which files are worth trying to decode: pictures by their first bytes, whatever they are called. */
import { ascii, HEAD_BYTES, hasAt, photoTypeOf } from '../../wire/photo.ts';

/** Major brands of pictures in the ISO base media file format (ISO/IEC 23008-12, AVIF): not every browser reads them. */
const BRANDS = ['heic', 'heix', 'hevc', 'mif1', 'msf1', 'avif', 'avis'];

/**
 * @param file any file; its first bytes alone are read
 * @throws DOMException when the file cannot be read at all, as when its card was pulled out
 */
export async function looksLikePicture(file: Blob): Promise<boolean> {
  const head = new Uint8Array(await file.slice(0, HEAD_BYTES).arrayBuffer());
  return (
    photoTypeOf(head) !== null ||
    hasAt(head, 0, ascii('GIF8')) ||
    (hasAt(head, 4, ascii('ftyp')) && BRANDS.some((brand) => hasAt(head, 8, ascii(brand))))
  );
}
