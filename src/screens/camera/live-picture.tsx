import type { ComponentChildren } from 'preact';
import { useEffect, useRef } from 'preact/hooks';
import type { LiveCamera } from '../../sources/camera/live.ts';

/** The live picture of a camera, or the frame of a film, with what lies over it. */
export function LivePicture({
  camera,
  label,
  children,
}: {
  camera: LiveCamera;
  label: string;
  children: ComponentChildren;
}) {
  const place = useRef<HTMLDivElement>(null);
  useEffect(() => {
    const { video } = camera;
    place.current?.prepend(video);
    return () => video.remove();
  }, [camera]);
  return (
    <div class="camera-picture" ref={place} role="img" aria-label={label}>
      {children}
    </div>
  );
}
