/**
 * The published sources that the catalogue leans on, by the short key its tables use. Stored copies were
 * read in excerpts, never whole; of standards only the scope. What no source says carries another mark.
 */
export const SOURCES = {
  dooley: 'Dooley, A Manual of Shoemaking and Leather and Rubber Products, 1912',
  west: 'West, How to Bottom a Welted Shoe by Hand, 1912 (as summarised)',
  'shoe-industry': 'The Shoe Industry, a careers book of about 1916',
  pennsylvania: 'Official Documents of Pennsylvania, report on the shoe industry, early 1900s',
  occupations: 'A Dictionary of Occupational Terms, census of 1921 (Great Britain)',
  'half-sole-unit': 'training.gov.au, unit MSTFR2004, half leather sole',
  'stitcher-unit': 'training.gov.au, unit MSTFR3002, sole stitcher',
  onet: 'O*NET 51-6042, shoe machine operators',
  'hse-footwear': 'HSE, How you control process risks in the footwear industry',
  'hse-trimming': 'HSE, Sound solutions: modifying an edge trimming machine',
  'hse-leather': 'HSE, Health and safety in the footwear and leather industries',
  'hse-sewing': 'HSE, Sewing machines',
  'hse-wheels': 'HSE, COSHH essentials SR21, Dust from abrasive wheels',
  'hse-dust': 'HSE EH44, Dust in the workplace: general principles',
  'hse-gloves': 'HSE on gloves and entanglement (HSG129, through secondary pages)',
  'coshh-1999': 'COSHH Regulations 1999, Schedule 1',
  coshh: 'COSHH Regulations 2002 (HSE L5)',
  puwer: 'Provision and Use of Work Equipment Regulations 1998 (HSE L22)',
  noise: 'Control of Noise at Work Regulations 2005 (HSE L108)',
  vibration: 'Control of Vibration at Work Regulations 2005 (HSE L140)',
  dsear: 'DSEAR 2002, HSE guidance on flammable liquids in workrooms',
  dermatitis: 'Prevention of dermatitis in the workplace, footwear and leather industries, 2008',
  osha: 'OSHA 29 CFR 1910 (from memory)',
  niosh: 'NIOSH 1982, solvent exposures in shoe manufacturing',
  'en-12387': 'EN 12387, modular shoe repair equipment',
  'en-930': 'EN 930, roughing, scouring, polishing and trimming machines',
  'en-12653': 'EN 12653, nailing machines',
  'en-931': 'EN 931, lasting machines',
  'en-13457': 'EN 13457, splitting, skiving, cutting and cementing machines',
} as const;

export type SourceKey = keyof typeof SOURCES;

const isSourceKey = (text: string): text is SourceKey => Object.hasOwn(SOURCES, text);

/** The title behind a key. Throws on an unknown key. */
export function sourceTitle(key: string): string {
  if (!isSourceKey(key)) throw new Error(`no source has the key "${key}"`);
  return SOURCES[key];
}

/** `puwer regulation 11; osha .212`, or `-` for none → titles, each with its place in the source. Throws on an unknown key. */
export function sourcesIn(cell: string): readonly string[] {
  if (cell === '-') return [];
  return cell.split(';').map((part) => {
    const [key = '', ...place] = part.trim().split(' ');
    return [sourceTitle(key), place.join(' ')].filter((words) => words !== '').join(', ');
  });
}
