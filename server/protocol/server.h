// The language server of one client: its lifecycle, its open programs, and what is told about them.
#pragma once

#include "protocol/background.h"
#include "protocol/client.h"
#include "protocol/closed_programs.h"
#include "protocol/open_document.h"
#include "protocol/pictures_beside.h"
#include "protocol/publishing.h"
#include "protocol/settings.h"
#include "protocol/shop_files.h"
#include "rpc/rpc.h"

#include <filesystem>
#include <map>
#include <memory>
#include <set>
#include <string>

namespace turnwright::protocol {

struct Feature;
struct Snapshot;

struct ServerOptions {
    std::string version;
    std::string language; ///< Of the command line; empty: the client says it
    rpc::Log log = [](std::string_view) {};
    /// Folder with a page for each warning, warnings/<id>.md; empty when there is none.
    std::filesystem::path docs_folder;
    rpc::Limits limits;
};

class Server {
public:
    explicit Server(ServerOptions options);
    ~Server();

    /// Serves until the client leaves. The exit code: 0 after `shutdown`, otherwise 1.
    int run(rpc::ByteStream& stream);

    // For the adapters.
    const Client& client() const { return client_; }
    const Settings& settings() const { return settings_; }
    const ServerOptions& options() const { return options_; }
    const ShopFiles& shop_files() const { return shop_files_; }
    rpc::Endpoint& endpoint() { return endpoint_; }
    OpenDocuments& documents() { return documents_; }
    /// The open document of a `textDocument` member, evaluated. Throws invalid_params when it is not open and
    /// content_modified when its text was lost.
    OpenDocument& document(const In& text_document);
    /// The same without evaluating; nullptr when it is not open.
    OpenDocument* find_document(const std::string& uri);
    /// Its results, with the present text of the programs it calls in other open files.
    const features::Document& evaluate(OpenDocument& document);
    /// The program files of the workspace folders, open ones with their present text.
    const features::Workspace& workspace();
    /// Shows a command's edits to the client, or the reason why there are none.
    void apply(OpenDocument& document, const std::string& title, const features::Rewrite& rewrite);
    /// The same with its edits as the client counts; also beside the server.
    /// `is_current`: as Snapshot::may_apply tells.
    void apply(const std::string& title, const features::Rewrite& rewrite, const WorkspaceEdit& edit,
               bool is_current = true);
    /// For work beside the server.
    Snapshot snapshot(const OpenDocument& document) const;
    Publishing& publishing() { return publishing_; }
    ClosedPrograms& closed_programs() { return closed_programs_; }
    Background& background() { return background_; }
    PicturesBeside& pictures_beside() { return pictures_beside_; }
    /// The programs of the workspace, for work beside the server.
    std::shared_ptr<const machine::ProgramLibrary> programs_as_they_are() {
        share_texts();
        return programs_->as_it_is();
    }
    /// Where they are read from; open ones are there with their present text.
    std::shared_ptr<const features::ProgramFiles> program_files() {
        share_texts();
        return programs_;
    }
    /// A program that is not open, as if it were.
    OpenDocument closed_document(const std::string& uri, const std::string& text,
                                 std::shared_ptr<const shop::Shop> shop) const;
    std::shared_ptr<const shop::Shop> shop_for(const std::filesystem::path& program) {
        return shop_files_.shop_for(program);
    }
    std::uint64_t programs_stamp() const { return programs_->stamp(); }
    std::string new_result_id() { return publishing_.new_result_id(); }
    void log(const std::string& line) const { options_.log(line); }
    /// A message the editor shows; level as in the protocol (1 error, 2 warning, 3 information).
    void show_message(int level, const std::string& message);

private:
    enum class Phase { before_initialize, running, after_shutdown };

    void register_lifecycle();
    void register_synchronisation();
    void register_workspace();
    void register_features();
    rpc::Content answer(const Feature& feature, const In& params, rpc::Call& call);
    void look_where_cursor_is(const Json& params, bool at_cursor);
    bool work_at_idle();
    /// Tells once a folder, and quietly, what a shop file would make known of a program that was opened and
    /// has its results; false when nothing waits that can be told.
    bool hint_at_shop_file();
    const rpc::Error* gate(std::string_view method, bool is_request) const;

    Json initialize(const Json& params);
    Json capabilities() const;
    void initialized();
    void set_trace(const In& params);

    void did_open(const In& params);
    void did_change(const In& params);
    void did_close(const In& params);
    void did_save(const In& params);
    /// Brings the texts of open programs that changed to where the others find them.
    void share_texts();
    bool may_be_shared(const OpenDocument& document) const;
    /// Documents whose called programs changed are checked again.
    void check_callers_again();
    void ask_to_refresh();
    void use_folders();
    void lose_unreadable(std::string_view ends);
    void tell_lost(const OpenDocument& document);

    void ask_for_configuration();
    void use_settings(Settings settings);
    void choose_language();
    void did_change_configuration(const In& params);
    void did_change_watched_files(const In& params);
    void did_change_workspace_folders(const In& params);
    void check_everything_again();

    /// Registers what the settings ask for and takes back what they do not.
    void register_by_settings();

    ServerOptions options_;
    rpc::Endpoint endpoint_;
    Phase phase_ = Phase::before_initialize;
    Client client_;
    Settings settings_;
    Settings default_settings_; ///< From the client's initialization options
    ShopFiles shop_files_;
    std::shared_ptr<features::ProgramFiles> programs_ = std::make_shared<features::ProgramFiles>();
    std::uint64_t programs_stamp_told_ = 0; ///< To those who call them
    OpenDocuments documents_;
    std::set<OpenDocument*> not_shared_; ///< The others do not see their present text yet
    ClosedPrograms closed_programs_;
    std::vector<std::string> may_be_hinted_; ///< Open programs without a shop file, by normal URI
    std::set<std::filesystem::path> hinted_; ///< Folders whoever works in is not asked of again
    std::set<std::string> registered_;       ///< Methods registered by settings
    Publishing publishing_;
    PicturesBeside pictures_beside_{*this};
    Background background_{endpoint_}; ///< The last: what it runs ends before anything else goes
};

} // namespace turnwright::protocol
