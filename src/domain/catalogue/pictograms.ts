/**
 * The signs that stand beside reminders, by their ISO 7010 meaning. Reference numbers are from memory, to be
 * checked against the standard; where it has no sign of that meaning we know of, the family's shape holds our own.
 */
export interface Pictogram {
  /** Shape and colour follow from it: blue disc, yellow triangle, red ring with a bar. */
  readonly family: 'mandatory' | 'warning' | 'prohibition';
  readonly iso7010: string | null;
  readonly meaning: string;
}

export const PICTOGRAMS = {
  'general-mandatory': { family: 'mandatory', iso7010: 'M001', meaning: 'Must be done' },
  'read-manual': { family: 'mandatory', iso7010: 'M002', meaning: 'Read the manual' },
  'wear-hearing-protection': { family: 'mandatory', iso7010: 'M003', meaning: 'Wear hearing protection' },
  'wear-eye-protection': { family: 'mandatory', iso7010: 'M004', meaning: 'Wear eye protection' },
  'wear-gloves': { family: 'mandatory', iso7010: 'M009', meaning: 'Wear gloves' },
  'wash-hands': { family: 'mandatory', iso7010: 'M011', meaning: 'Wash your hands' },
  'wear-mask': { family: 'mandatory', iso7010: 'M016', meaning: 'Wear a mask' },
  isolate: { family: 'mandatory', iso7010: 'M021', meaning: 'Isolate first' },
  extraction: { family: 'mandatory', iso7010: null, meaning: 'Extraction on' },
  'general-warning': { family: 'warning', iso7010: 'W001', meaning: 'Take care' },
  'hot-surface': { family: 'warning', iso7010: 'W017', meaning: 'Hot surface' },
  flammable: { family: 'warning', iso7010: 'W021', meaning: 'Catches fire easily' },
  sharp: { family: 'warning', iso7010: 'W022', meaning: 'Sharp' },
  'hand-crush': { family: 'warning', iso7010: 'W024', meaning: 'Crushes hands' },
  entanglement: { family: 'warning', iso7010: null, meaning: 'Draws in' },
  'general-prohibition': { family: 'prohibition', iso7010: 'P001', meaning: 'Must not be done' },
  'no-open-flame': { family: 'prohibition', iso7010: 'P003', meaning: 'No open flame' },
  'no-gloves': { family: 'prohibition', iso7010: 'P028', meaning: 'No gloves' },
} as const satisfies Record<string, Pictogram>;

export type PictogramId = keyof typeof PICTOGRAMS;

export const PICTOGRAM_IDS = Object.keys(PICTOGRAMS) as PictogramId[];
