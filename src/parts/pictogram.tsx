/**
 * The signs beside reminders, drawn for this project on the shapes that ISO 7010 gives their meaning: a blue disc
 * for what is to be done, a yellow triangle with a black edge for a warning, a red ring with a bar for what is
 * forbidden. The glyphs are our own, not the standard's registered artwork, and replace no sign on the wall.
 */
import type { ComponentChildren, FunctionComponent } from 'preact';
import {
  PICTOGRAMS,
  type Pictogram as PictogramFacts,
  type PictogramId,
} from '../domain/catalogue/pictograms.ts';
import { SIGN } from './pictogram-shapes/colours.ts';
import * as mandatory from './pictogram-shapes/mandatory.tsx';
import * as prohibition from './pictogram-shapes/prohibition.tsx';
import * as warning from './pictogram-shapes/warning.tsx';

const GLYPHS: Readonly<Record<PictogramId, FunctionComponent>> = {
  'general-mandatory': mandatory.MustBeDone,
  'read-manual': mandatory.ReadManual,
  'wear-hearing-protection': mandatory.WearHearingProtection,
  'wear-eye-protection': mandatory.WearEyeProtection,
  'wear-gloves': mandatory.WearGloves,
  'wash-hands': mandatory.WashHands,
  'wear-mask': mandatory.WearMask,
  isolate: mandatory.Isolate,
  extraction: mandatory.Extraction,
  'general-warning': warning.TakeCare,
  'hot-surface': warning.HotSurface,
  flammable: warning.Flammable,
  sharp: warning.Sharp,
  'hand-crush': warning.HandCrush,
  entanglement: warning.DrawsIn,
  'general-prohibition': prohibition.MustNotBeDone,
  'no-open-flame': prohibition.NoOpenFlame,
  'no-gloves': prohibition.NoGloves,
};

export interface PictogramProps {
  readonly id: PictogramId;
  /** Height and width in CSS pixels; made to be read from 52 up. */
  readonly size: number;
}

/** A sign, named by its meaning. Its words still stand beside it: no sign goes without. */
export function Pictogram({ id, size }: PictogramProps) {
  const { family, meaning } = PICTOGRAMS[id];
  const Glyph = GLYPHS[id];
  const Ground = GROUNDS[family];
  return (
    <svg class="drawing" role="img" aria-label={meaning} width={size} height={size} viewBox="0 0 100 100">
      <Ground>
        <Glyph />
      </Ground>
    </svg>
  );
}

type Ground = FunctionComponent<{ readonly children: ComponentChildren }>;

const GROUNDS: Readonly<Record<PictogramFacts['family'], Ground>> = {
  mandatory: ({ children }) => (
    <>
      <circle cx="50" cy="50" r="49" fill={SIGN.blue} />
      {children}
    </>
  ),
  warning: ({ children }) => (
    <>
      <path
        d="M50 10 92 87H8z"
        fill={SIGN.yellow}
        stroke={SIGN.ink}
        stroke-width="9"
        stroke-linejoin="round"
      />
      {children}
    </>
  ),
  prohibition: ({ children }) => (
    <>
      <circle cx="50" cy="50" r="44.5" fill={SIGN.white} />
      {children}
      <path d="M18.5 18.5 81.5 81.5" stroke={SIGN.red} stroke-width="9" />
      <circle cx="50" cy="50" r="44.5" fill="none" stroke={SIGN.red} stroke-width="9" />
    </>
  ),
};
