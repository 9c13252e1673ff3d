// turnwright serve: the language server, on standard input and output or on a local port.
#include "commands.h"
#include "features/program_files.h"
#include "host/host.h"
#include "language/said.h"
#include "protocol/server.h"
#include "rpc/stream.h"

#include <CLI/App.hpp>
#include <CLI/Config.hpp>
#include <CLI/Formatter.hpp>
#include <atomic>
#include <chrono>
#include <ctime>
#include <exception>
#include <fstream>
#include <iostream>
#include <memory>
#include <mutex>
#include <optional>
#include <system_error>
#include <thread>

namespace turnwright::commands {
namespace {

struct ServeOptions {
    std::optional<std::uint16_t> port;
    std::string log_file;
};

// More than the editors of one person; each client has a thread and its own programs.
constexpr int most_clients = 32;
constexpr std::size_t longest_log_line = 2000;

/// Lines with the time in front, to standard error or a file; never to standard output, which is the
/// client's.
rpc::Log make_log(const std::string& file_name) {
    struct Sink {
        std::mutex mutex;
        std::ofstream file;
    };
    auto sink = std::make_shared<Sink>();
    if (!file_name.empty()) {
        if (features::is_program_name(host::path_of(file_name)))
            throw std::runtime_error(file_name +
                                     said(" has the name of a program; the log is not written to it"));
        sink->file.open(host::path_of(file_name), std::ios::app | std::ios::binary);
        if (!sink->file) throw std::runtime_error("cannot write the log file " + file_name);
    }
    return [sink](std::string_view line) {
        const std::time_t now = std::time(nullptr);
        char stamp[32] = "";
        const std::lock_guard lock(sink->mutex);
        std::strftime(stamp, sizeof stamp, "%Y-%m-%d %H:%M:%S ", std::localtime(&now));
        std::ostream& out = sink->file.is_open() ? sink->file : std::cerr;
        std::string text(line.substr(0, longest_log_line));
        for (char& c : text)
            if (static_cast<unsigned char>(c) < ' ') c = ' '; // one message, one line
        out << stamp << text << std::endl;
    };
}

/// The documentation: beside the source for a build in its build folder, under share/doc for an installed
/// program.
std::filesystem::path find_docs() {
    const auto program = host::program_file();
    if (program.empty()) return {};
    std::error_code failed;
    const auto folder = program.parent_path();
    for (const char* place : {"../share/doc/turnwright", "../docs", "docs"}) {
        auto docs = host::weakly_canonical(folder / place, failed);
        if (!failed && std::filesystem::is_directory(docs / "warnings", failed)) return docs;
    }
    return {};
}

std::unique_ptr<rpc::LoopbackListener> listen_on(std::uint16_t port) {
    try {
        return std::make_unique<rpc::LoopbackListener>(port);
    } catch (const std::system_error& failure) {
        const std::string name = "port " + std::to_string(port);
        if (failure.code() == std::errc::address_in_use) throw std::runtime_error(name + " is in use");
        throw std::runtime_error(name + " cannot be had: " + failure.what());
    }
}

int serve_port(std::uint16_t port, const protocol::ServerOptions& options) {
    const auto listener = listen_on(port);
    options.log(
        "warning: every program on this computer can connect to this port and ask about open programs");
    options.log("listening on 127.0.0.1:" + std::to_string(listener->port()));
    std::atomic<int> clients{0};
    while (std::shared_ptr<rpc::ByteStream> stream = listener->accept()) {
        if (clients >= most_clients) {
            options.log("too many clients, one turned away");
            stream->close();
            continue;
        }
        ++clients;
        // The process ends by a signal, and its threads with it.
        std::thread([stream, options, &clients] {
            try {
                protocol::Server(options).run(*stream);
            } catch (const std::exception& failure) {
                options.log(std::string("a client's server failed: ") + failure.what());
            }
            options.log("a client left");
            --clients;
        }).detach();
    }
    options.log("cannot accept clients any more");
    return 1;
}

int serve(const ServeOptions& chosen) {
    protocol::ServerOptions options;
    options.version = TURNWRIGHT_VERSION;
    options.language = language_option();
    options.log = make_log(chosen.log_file);
    options.docs_folder = find_docs();
    if (chosen.port) {
        options.limits.resynchronise = false;
        return serve_port(*chosen.port, options);
    }
    const auto streams = rpc::standard_streams();
    return protocol::Server(options).run(*streams);
}

} // namespace

void add_serve(CLI::App& app, int& status) {
    auto chosen = std::make_shared<ServeOptions>();
    CLI::App* command =
        app.add_subcommand("serve", said("Serve an editor: LSP on standard input and output"));
    command->add_option(
        "--port", chosen->port,
        said("Serve any number of clients on this port of 127.0.0.1 instead; 0 takes a free one"));
    command->add_option("--log", chosen->log_file,
                        said("Write the log to this file instead of standard error"));
    command->add_flag_function(
        "--stdio", [](std::int64_t) {}, said("Serve on standard input and output, which is the default"));
    command->callback([chosen, &status] { status = serve(*chosen); });
}

} // namespace turnwright::commands
