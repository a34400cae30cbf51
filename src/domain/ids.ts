/** Ids are branded strings: a bench's id cannot be passed where an operative's is due. */
declare const brand: unique symbol;
type Branded<Name extends string> = string & { readonly [brand]: Name };

/** A pair: the text of its ticket, upper case, without spaces. */
export type PairId = Branded<'pair'>;
/** An operative: opaque and never derived from a name, a badge or a personnel number. */
export type OperativeId = Branded<'operative'>;
/** An enrolled tablet (or desk). Enrolling again gives a new one, so a sequence is never used twice. */
export type BenchId = Branded<'bench'>;
/** One factory. */
export type SiteId = Branded<'site'>;
/** A stage by its code, for instance `WLT`. */
export type StageCode = Branded<'stage'>;
/** A record's UUIDv7. */
export type RecordId = Branded<'record'>;
/** How far a reader has read the server's ledger; opaque to everybody but the server and `cursor.ts`. */
export type Cursor = Branded<'cursor'>;

export const asPairId = (text: string): PairId => text as PairId;
export const asOperativeId = (text: string): OperativeId => text as OperativeId;
export const asBenchId = (text: string): BenchId => text as BenchId;
export const asSiteId = (text: string): SiteId => text as SiteId;
export const asStageCode = (text: string): StageCode => text as StageCode;
export const asRecordId = (text: string): RecordId => text as RecordId;
