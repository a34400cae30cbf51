/** A record's text in short, so that hundreds of thousands of them can be compared. */
import { hash } from 'node:crypto';

export function fingerprint(json: string): string {
  return hash('sha256', json, 'hex');
}
