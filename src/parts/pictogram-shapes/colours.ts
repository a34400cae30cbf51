/** Colours of the signs. Presentation attributes carry them, so that a sign is right even where no style sheet is. */
export const SIGN = {
  blue: '#0a4f8a',
  red: '#9b1620',
  ink: '#1d1916',
  white: '#fff',
  /** The conventional warning yellow as we mix it; nothing but a warning sign uses it. */
  yellow: '#f6b500',
} as const;
