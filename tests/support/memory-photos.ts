/** The tablet's photographs in memory, for tests of what stands on the contract (tests/contract/photo-store.ts). */
import type { Instant } from '../../src/domain/instant.ts';
import type {
  KeptPhoto,
  Photo,
  PhotoCounts,
  PhotoState,
  PhotoStore,
} from '../../src/tablet/photos/photo-store.ts';

interface Row extends KeptPhoto {
  readonly epoch: string;
}

export class MemoryPhotos implements PhotoStore {
  readonly #rows: Map<string, Row>;
  readonly #budgetBytes: number;

  constructor(rows = new Map<string, Row>(), budgetBytes = Number.POSITIVE_INFINITY) {
    this.#rows = rows;
    this.#budgetBytes = budgetBytes;
  }

  async keep(photo: Photo, at: Instant): Promise<void> {
    this.#add({ ...photo, at, state: 'waiting', epoch: '', reasons: [] });
  }

  async keepFetched(photo: Photo, at: Instant): Promise<void> {
    this.#add({ ...photo, at, state: 'at-server', epoch: '', reasons: [] });
  }

  async get(photo: string): Promise<KeptPhoto | null> {
    return this.#rows.get(photo) ?? null;
  }

  async waiting(limit: number): Promise<readonly string[]> {
    return this.#in('waiting')
      .map(({ photo }) => photo)
      .slice(0, limit);
  }

  async counts(): Promise<PhotoCounts> {
    return { waiting: this.#in('waiting').length, refused: this.#in('refused').length };
  }

  async markAtServer(photo: string, epoch: string): Promise<void> {
    this.#change(photo, { state: 'at-server', epoch, reasons: [] });
  }

  async markRefused(photo: string, reasons: readonly string[]): Promise<void> {
    this.#change(photo, { state: 'refused', reasons });
  }

  async waitAgain(epoch: string): Promise<number> {
    const sent = this.#in('at-server').filter((row) => row.epoch !== '' && row.epoch !== epoch);
    for (const row of sent) this.#rows.set(row.photo, { ...row, state: 'waiting' });
    return sent.length;
  }

  #add(row: Row): void {
    if (!this.#rows.has(row.photo)) this.#rows.set(row.photo, row);
    this.#keepWithinBudget();
  }

  #change(photo: string, change: Partial<Row>): void {
    const row = this.#rows.get(photo);
    if (row !== undefined) this.#rows.set(photo, { ...row, ...change });
    this.#keepWithinBudget();
  }

  #keepWithinBudget(): void {
    const held = this.#in('at-server');
    let bytes = held.reduce((sum, { blob }) => sum + blob.size, 0);
    for (const { photo, blob } of held) {
      if (bytes <= this.#budgetBytes) return;
      this.#rows.delete(photo);
      bytes -= blob.size;
    }
  }

  #in(state: PhotoState): readonly Row[] {
    return [...this.#rows.values()].filter((row) => row.state === state).sort((a, b) => a.at - b.at);
  }
}
