import { useReader } from '../../components/model.ts';
import { Section } from '../../components/section.tsx';

/** Where to put the phone: a drawing with the same in words. */
export function PlaceSection() {
  const { t } = useReader();
  return (
    <Section title={t.camera.place}>
      <PlaceDrawing />
      <ul class="camera-steps">
        {t.camera.placeSteps.map((step) => (
          <li key={step}>{step}</li>
        ))}
        <li class="must">{t.camera.placeSafety}</li>
      </ul>
    </Section>
  );
}

/** Engine with belt and fan at the left, gauge on its hose in the middle, phone against the battery at the right. */
function PlaceDrawing() {
  const { t } = useReader();
  return (
    <svg viewBox="0 0 360 150" class="camera-place" role="img" aria-label={t.camera.placeDrawing}>
      <g fill="none" stroke="currentColor" stroke-width="2" stroke-linejoin="round" stroke-linecap="round">
        <path d="M4 128 H356" class="faint" />
        <path d="M44 128 V62 H132 V128 M44 78 H132 M60 62 V50 H74 V62 M80 62 V50 H94 V62 M100 62 V50 H114 V62" />
        <circle cx="22" cy="98" r="15" />
        <circle cx="22" cy="98" r="4" />
        <path d="M22 83 V113 M7 98 H37" class="faint" />
        <path d="M107 50 C107 12 168 14 176 60 V96" class="strong" />
        <circle cx="176" cy="110" r="17" class="strong" />
        <path d="M176 110 L167 101" class="strong" />
        <path d="M292 128 V74 H348 V128 M302 74 V66 H312 V74 M328 74 V66 H338 V74" />
        <path d="M278 127 L290 80 L284 78 L272 125 Z" class="strong" />
        <path d="M272 100 L200 96 M270 112 L200 118" class="faint" stroke-dasharray="4 5" />
      </g>
    </svg>
  );
}
