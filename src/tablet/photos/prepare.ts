/**
 * From a file that was picked, or taken with the camera, to a photograph that can be kept and sent.
 *
 * The picture is drawn anew and written as a JPEG of our own. So nothing of the file but its pixels goes on: no EXIF,
 * no place, no time, no owner's name and no serial number of the camera. Its orientation is drawn in.
 *
 * The browser is asked to scale while it decodes, and only one decoded picture is held at a time, since a tablet's
 * page has little room: a photograph of 40 MB has 120 MB of pixels and more.
 */
import { photoHash } from './photo-hash.ts';
import type { Photo } from './photo-store.ts';
import { looksLikePicture } from './picture-kind.ts';

export type Prepared =
  | ({ readonly is: 'photo'; readonly bytes: number } & Photo)
  /** By its first bytes it is something else. */
  | { readonly is: 'not-a-picture' }
  | { readonly is: 'too-large' }
  /** Damaged, cut off, of a kind that this browser cannot read, or gone since it was picked. */
  | { readonly is: 'unreadable' };

export const PICKED_BYTES_MAX = 60 * 1024 * 1024;
export const LONGEST_SIDE_PX = 1600;
export const PREPARED_BYTES_MAX = 400 * 1024;

/** Tried in turn until the photograph is small enough; smaller than the last it is not worth looking at. */
const QUALITIES = [0.85, 0.75, 0.65, 0.5, 0.35];
/** A picture of pure noise is too large at any quality; then it is made smaller. */
const SIDES_PX = [LONGEST_SIDE_PX, 1130, 800];

interface Size {
  readonly width: number;
  readonly height: number;
}

/** Needs a page: canvas and image elements. Never throws for what is in the file. */
export async function preparePhoto(picked: Blob): Promise<Prepared> {
  if (picked.size > PICKED_BYTES_MAX) return { is: 'too-large' };
  const picture = await looksLikePicture(picked).catch(() => null);
  if (picture === null) return { is: 'unreadable' };
  if (!picture) return { is: 'not-a-picture' };
  const bitmap = await decoded(picked);
  if (bitmap === null) return { is: 'unreadable' };
  try {
    const blob = await smallEnough(bitmap);
    if (blob === null) return { is: 'unreadable' };
    const photo = await photoHash(await blob.arrayBuffer());
    return { is: 'photo', photo, type: 'image/jpeg', bytes: blob.size, blob };
  } finally {
    bitmap.close();
  }
}

/** The picture, upright and at most `LONGEST_SIDE_PX` long; null where this browser cannot read it. */
async function decoded(picked: Blob): Promise<ImageBitmap | null> {
  const size = await sizeOf(picked);
  if (size === null) return null;
  const { width, height } = scaled(size, LONGEST_SIDE_PX);
  try {
    // Unlike an image element, this fails on a file that was cut off.
    return await createImageBitmap(picked, {
      resizeWidth: width,
      resizeHeight: height,
      resizeQuality: 'high',
      imageOrientation: 'from-image',
    });
  } catch {
    // InvalidStateError: damaged, or more pixels than there is room for. The file is at fault either way.
    return null;
  }
}

/** Its size when upright, known from its head alone: an image element decodes nothing before it is shown. */
async function sizeOf(picked: Blob): Promise<Size | null> {
  const image = new Image();
  const url = URL.createObjectURL(picked);
  try {
    await new Promise((resolve, reject) => {
      image.onload = resolve;
      image.onerror = reject;
      image.src = url;
    });
    const { naturalWidth: width, naturalHeight: height } = image;
    return width > 0 && height > 0 ? { width, height } : null;
  } catch {
    // An Event without a reason.
    return null;
  } finally {
    URL.revokeObjectURL(url);
    image.removeAttribute('src');
  }
}

/** Never larger than it is. */
function scaled({ width, height }: Size, longestPx: number): Size {
  const by = Math.min(1, longestPx / Math.max(width, height));
  return { width: Math.max(1, Math.round(width * by)), height: Math.max(1, Math.round(height * by)) };
}

async function smallEnough(bitmap: ImageBitmap): Promise<Blob | null> {
  for (const side of SIDES_PX) {
    const canvas = drawn(bitmap, scaled(bitmap, side));
    for (const quality of QUALITIES) {
      const blob = await jpegOf(canvas, quality);
      if (blob !== null && blob.size <= PREPARED_BYTES_MAX) return blob;
    }
  }
  return null;
}

function drawn(bitmap: ImageBitmap, { width, height }: Size): HTMLCanvasElement {
  const canvas = document.createElement('canvas');
  canvas.width = width;
  canvas.height = height;
  const context = canvas.getContext('2d', { alpha: false });
  if (context === null) throw new Error('this page can draw nothing');
  // Where a picture is clear it is drawn on white, as on paper: a JPEG would make it black.
  context.fillStyle = 'white';
  context.fillRect(0, 0, width, height);
  context.imageSmoothingQuality = 'high';
  context.drawImage(bitmap, 0, 0, width, height);
  return canvas;
}

function jpegOf(canvas: HTMLCanvasElement, quality: number): Promise<Blob | null> {
  return new Promise((resolve) => canvas.toBlob(resolve, 'image/jpeg', quality));
}
