package org.kerftally.config;

import java.util.ArrayList;
import java.util.List;
import org.jspecify.annotations.Nullable;

/** Lists where the secrets of a site are, for those who must keep them out of what they write. */
public final class SecretPlaces {

  private SecretPlaces() {}

  /** Returns every place of a secret that a configuration names, in its order. */
  public static List<SecretPlace> of(SiteConfig site) {
    List<SecretPlace> places = new ArrayList<>();
    add(places, site.board().token());
    for (StationConfig station : site.stations()) {
      if (station.link() instanceof MqttLinkConfig mqtt) {
        add(places, mqtt.password());
        addKey(places, mqtt.tls().clientKey());
      } else if (station.link() instanceof OpcUaLinkConfig opcua) {
        if (opcua.identity() instanceof OpcUaIdentity.User user) {
          add(places, user.password());
        } else if (opcua.identity() instanceof OpcUaIdentity.Certificate certificate) {
          addKey(places, certificate.key());
        }
      }
    }
    return List.copyOf(places);
  }

  private static void addKey(List<SecretPlace> places, @Nullable ClientKey key) {
    add(places, key == null ? null : key.keyPassword());
  }

  private static void add(List<SecretPlace> places, @Nullable SecretPlace place) {
    if (place != null) {
      places.add(place);
    }
  }
}
