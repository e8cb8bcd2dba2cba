// Builds the Voronoi diagram of the segments of each region of a file with
// Boost.Polygon, region by region, and prints the seconds that the building
// alone took, and how many edges the diagrams have.
//
// The file holds 32-bit numbers in this machine's order: how many regions;
// for each how many rings; for each ring how many points, then x and y of
// each point.
#include <boost/polygon/polygon.hpp>
#include <boost/polygon/voronoi.hpp>
#include <chrono>
#include <cstdint>
#include <cstdio>
#include <fstream>
#include <vector>

namespace bp = boost::polygon;
using Point = bp::point_data<int>;
using Segment = bp::segment_data<int>;

static int32_t number(std::ifstream &in) {
  int32_t n = 0;
  in.read(reinterpret_cast<char *>(&n), sizeof n);
  return n;
}

int main(int argc, char **argv) {
  if (argc != 2) return 2;
  std::ifstream in(argv[1], std::ios::binary);
  std::vector<std::vector<Segment>> regions(number(in));
  for (auto &region : regions) {
    for (int rings = number(in); rings > 0; rings--) {
      std::vector<Point> ring(number(in));
      for (auto &p : ring) {
        const int x = number(in), y = number(in);
        p = Point(x, y);
      }
      for (size_t i = 0; i < ring.size(); i++)
        region.emplace_back(ring[i], ring[(i + 1) % ring.size()]);
    }
  }
  if (!in) return 3;
  size_t edges = 0;
  const auto start = std::chrono::steady_clock::now();
  for (const auto &region : regions) {
    bp::voronoi_diagram<double> diagram;
    bp::construct_voronoi(region.begin(), region.end(), &diagram);
    edges += diagram.num_edges();
  }
  const std::chrono::duration<double> took = std::chrono::steady_clock::now() - start;
  std::printf("%.6f %zu\n", took.count(), edges);
}
