/** The parts of the bench page that are read in once it works. */
import { later } from './later.tsx';

export const reminders = later(async () => (await import('./reminders.tsx')).Reminders);
export const shoes = later(async () => (await import('./shoes.tsx')).Shoes);
export const glossary = later(async () => (await import('./glossary-list.tsx')).GlossaryList);
