/** To be imported first: zod makes up its mind about code from text when the first schema is made, and the app has none. */
import { config } from 'zod';

config({ jitless: true });
