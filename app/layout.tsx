import type { Metadata, Viewport } from 'next';
import type { ReactNode } from 'react';
import './globals.css';
import { ChosenUnitProvider } from './shell/ChosenUnit';
import { DisclosureProvider } from './shell/Disclosure';
import { Footer } from './shell/Footer';
import { Header } from './shell/Header';
import { PlanSessionProvider } from './shell/PlanSession';
import { UnitsSessionProvider } from './shell/UnitsSession';
import { WorkbenchProvider } from './shell/WorkbenchProvider';
import { VaultBar } from './vault/VaultBar';

export const metadata: Metadata = {
  title: { default: 'Implant survivorship workbench', template: '%s · Implant survivorship workbench' },
  description: 'Revision curves and adjusted comparisons on a joint-replacement registry extract that stays on this machine.',
  referrer: 'no-referrer',
  icons: { icon: '/icon.svg' },
};

export const viewport: Viewport = { colorScheme: 'light dark', width: 'device-width', initialScale: 1 };

export default function Layout({ children }: { readonly children: ReactNode }) {
  return (
    <html lang="en-GB">
      <body>
        <a className="skip" href="#content">Skip to the content</a>
        <WorkbenchProvider>
          <DisclosureProvider>
            <Header />
            <VaultBar />
            <main id="content" tabIndex={-1}>
              <ChosenUnitProvider>
                <UnitsSessionProvider>
                  <PlanSessionProvider>{children}</PlanSessionProvider>
                </UnitsSessionProvider>
              </ChosenUnitProvider>
            </main>
            <Footer />
          </DisclosureProvider>
        </WorkbenchProvider>
      </body>
    </html>
  );
}
