/** Reasons for a refusal are read by people: zod's small build says only «invalid» until it is given words. */
import * as z from 'zod/mini';
import en from 'zod/v4/locales/en.js';

z.config(en());
