/** The parts of the bench page that are read in once it works. */
import { later } from './later.tsx';

export const reminders = later(async () => (await import('./reminders.tsx')).Reminders);
export const shoes = later(async () => (await import('./shoes.tsx')).Shoes);
export const choices = later(async () => (await import('./card-choices.tsx')).CardChoices);
export const checkList = later(async () => (await import('./check-list.tsx')).CheckList);
export const rackPage = later(async () => (await import('../pages/rack-page.tsx')).RackPage);
export const settingsPage = later(async () => (await import('../pages/settings-page.tsx')).SettingsPage);
